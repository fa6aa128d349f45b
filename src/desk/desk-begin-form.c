#include "desk-begin-form.h"

#include "core-json-build.h"
#include "desk-i18n.h"
#include "desk-moment-button.h"
#include "desk-notice.h"
#include "store-journal.h"

#include <string.h>

struct _TdBeginForm
{
  GtkWidget parent;
  TdContext *context;
  char *site_id;
  TdMasters *masters;
  GPtrArray *people; /* TdTechnician of masters: those in use */
  TdZone *zone;
  char *work;
  gboolean amending;
  TdUuid amends;
  TdUuid visit; /* of the arrival that is on its way */

  GtkWidget *box;
  TdNotice *notice;
  GtkStack *who;
  GtkDropDown *technician;
  GtkEntry *name;
  GtkWidget *crew_row;
  GtkFlowBox *crew;
  GtkWidget *work_row;
  TdMomentButton *arrived;
  GtkSwitch *sds;
  GtkSwitch *out_of_hours;
  GtkEntry *remark;
};

G_DEFINE_FINAL_TYPE (TdBeginForm, td_begin_form, GTK_TYPE_WIDGET)

enum
{
  PROP_0,
  PROP_WORK,
  N_PROPS
};

enum
{
  SIGNAL_BEGUN,
  SIGNAL_GIVEN_UP,
  N_SIGNALS
};

static GParamSpec *properties[N_PROPS];
static guint signals[N_SIGNALS];

static const TdTechnician *
get_technician (TdBeginForm *self, guint i)
{
  return g_ptr_array_index (self->people, i);
}

/* The id of who arrives, or the name typed where the book knows nobody; NULL where nothing is said. */
static char *
get_person (TdBeginForm *self)
{
  g_autofree char *typed = NULL;
  guint i;

  if (self->people->len > 0)
    {
      i = gtk_drop_down_get_selected (self->technician);
      return i < self->people->len ? g_strdup (get_technician (self, i)->id) : NULL;
    }
  typed = g_strstrip (g_strdup (gtk_editable_get_text (GTK_EDITABLE (self->name))));
  return *typed != '\0' ? g_steal_pointer (&typed) : NULL;
}

/* The technicians whose buttons are pressed, except who arrives. */
static char **
get_crew (TdBeginForm *self, const char *person)
{
  g_autoptr (GStrvBuilder) builder = g_strv_builder_new ();

  for (guint i = 0; i < self->people->len; i++)
    {
      GtkFlowBoxChild *child = gtk_flow_box_get_child_at_index (self->crew, (int) i);
      GtkToggleButton *button = GTK_TOGGLE_BUTTON (gtk_flow_box_child_get_child (child));

      if (gtk_toggle_button_get_active (button) && strcmp (get_technician (self, i)->id, person) != 0)
        g_strv_builder_add (builder, get_technician (self, i)->id);
    }
  return g_strv_builder_end (builder);
}

static TdJson *
make_body (TdBeginForm *self, const char *person)
{
  g_autoptr (TdJsonBuilder) builder = td_json_builder_new ();
  g_auto (GStrv) crew = get_crew (self, person);
  g_autofree char *text = g_strstrip (g_strdup (gtk_editable_get_text (GTK_EDITABLE (self->remark))));

  td_json_builder_begin_object (builder);
  td_json_builder_member_string (builder, "site", self->site_id);
  td_json_builder_member_string (builder, "work", self->work);
  if (self->amending)
    {
      g_autofree char *amends = td_uuid_to_text (&self->amends);

      td_json_builder_member_string (builder, "amends", amends);
    }
  td_json_builder_member_string (builder, "out_of_hours", gtk_switch_get_active (self->out_of_hours) ? "yes" : "no");
  td_json_builder_member_string (builder, "sds_at_hand", gtk_switch_get_active (self->sds) ? "yes" : "no");
  if (crew[0] != NULL)
    {
      td_json_builder_key (builder, "crew");
      td_json_builder_begin_array (builder);
      for (guint i = 0; crew[i] != NULL; i++)
        td_json_builder_string (builder, crew[i]);
      td_json_builder_end (builder);
    }
  if (*text != '\0')
    td_json_builder_member_string (builder, "text", text);
  td_json_builder_end (builder);
  return td_json_builder_finish (builder);
}

static gboolean
append_job (TdBook *book, gpointer data, gpointer *result_out, GError **error)
{
  return td_book_append (book, data, NULL, NULL, error);
}

static void
appended_cb (GObject *source, GAsyncResult *result, gpointer user_data)
{
  g_autoptr (TdBeginForm) self = user_data;
  g_autoptr (GError) error = NULL;
  g_autofree char *id = NULL;

  gtk_widget_action_set_enabled (GTK_WIDGET (self), "begin.commit", TRUE);
  if (!td_queue_run_finish (result, NULL, &error))
    {
      td_notice_show_error (self->notice, _ ("The visit could not be begun."), error);
      return;
    }
  id = td_uuid_to_text (&self->visit);
  g_signal_emit (self, signals[SIGNAL_BEGUN], 0, id);
}

static void
commit_action (GtkWidget *widget, const char *name, GVariant *parameter)
{
  TdBeginForm *self = TD_BEGIN_FORM (widget);
  g_autofree char *person = get_person (self);
  g_autoptr (TdJson) body = NULL;
  TdMoment moment = { .utc_ms = td_moment_button_get_utc_ms (self->arrived) };
  TdQueue *queue = td_context_get_queue (self->context);

  if (person == NULL)
    {
      g_autoptr (GError) error
        = g_error_new_literal (G_IO_ERROR, G_IO_ERROR_INVALID_ARGUMENT, _ ("Say who has arrived first."));

      td_notice_show_error (self->notice, _ ("The visit could not be begun."), error);
      gtk_widget_grab_focus (GTK_WIDGET (self->name));
      return;
    }
  if (moment.utc_ms == 0)
    moment.utc_ms = td_context_get_now_ms (self->context);
  moment.offset_min = self->zone != NULL ? td_zone_get_offset (self->zone, moment.utc_ms) : 0;
  self->visit = td_clock_make_uuid (td_context_get_clock (self->context));
  body = make_body (self, person);
  td_state_set_person (td_context_get_state (self->context), td_queue_get_path (queue), person);
  td_notice_clear (self->notice);
  gtk_widget_action_set_enabled (widget, "begin.commit", FALSE);
  td_queue_run_async (queue, TD_JOB_WRITE, append_job,
                      td_draft_new (&self->visit, TD_KIND_ARRIVAL, &moment, person, body),
                      (GDestroyNotify) td_draft_free, NULL, NULL, appended_cb, g_object_ref (self));
}

static void
give_up_action (GtkWidget *widget, const char *name, GVariant *parameter)
{
  g_signal_emit (widget, signals[SIGNAL_GIVEN_UP], 0);
}

/* Nobody comes together with himself. */
static void
technician_selected_cb (GtkDropDown *technician, GParamSpec *pspec, TdBeginForm *self)
{
  guint selected = gtk_drop_down_get_selected (technician);
  GtkFlowBoxChild *child;

  for (guint i = 0; (child = gtk_flow_box_get_child_at_index (self->crew, (int) i)) != NULL; i++)
    gtk_widget_set_visible (GTK_WIDGET (child), i != selected);
}

static void
set_work (TdBeginForm *self, const char *work)
{
  if (g_strcmp0 (self->work, work) == 0)
    return;
  g_free (self->work);
  self->work = g_strdup (work);
  g_object_notify_by_pspec (G_OBJECT (self), properties[PROP_WORK]);
}

static void
td_begin_form_get_property (GObject *object, guint id, GValue *value, GParamSpec *pspec)
{
  if (id == PROP_WORK)
    g_value_set_string (value, TD_BEGIN_FORM (object)->work);
  else
    G_OBJECT_WARN_INVALID_PROPERTY_ID (object, id, pspec);
}

static void
td_begin_form_set_property (GObject *object, guint id, const GValue *value, GParamSpec *pspec)
{
  if (id == PROP_WORK)
    set_work (TD_BEGIN_FORM (object), g_value_get_string (value));
  else
    G_OBJECT_WARN_INVALID_PROPERTY_ID (object, id, pspec);
}

static void
td_begin_form_dispose (GObject *object)
{
  TdBeginForm *self = TD_BEGIN_FORM (object);

  g_clear_pointer (&self->box, gtk_widget_unparent);
  g_clear_object (&self->context);
  G_OBJECT_CLASS (td_begin_form_parent_class)->dispose (object);
}

static void
td_begin_form_finalize (GObject *object)
{
  TdBeginForm *self = TD_BEGIN_FORM (object);

  g_ptr_array_unref (self->people);
  g_clear_pointer (&self->masters, td_masters_unref);
  g_clear_pointer (&self->zone, td_zone_unref);
  g_free (self->site_id);
  g_free (self->work);
  G_OBJECT_CLASS (td_begin_form_parent_class)->finalize (object);
}

static void
td_begin_form_class_init (TdBeginFormClass *klass)
{
  GObjectClass *object_class = G_OBJECT_CLASS (klass);
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  object_class->get_property = td_begin_form_get_property;
  object_class->set_property = td_begin_form_set_property;
  object_class->dispose = td_begin_form_dispose;
  object_class->finalize = td_begin_form_finalize;
  properties[PROP_WORK]
    = g_param_spec_string ("work", NULL, NULL, "routine",
                           G_PARAM_READWRITE | G_PARAM_EXPLICIT_NOTIFY | G_PARAM_STATIC_STRINGS);
  g_object_class_install_properties (object_class, N_PROPS, properties);
  signals[SIGNAL_BEGUN] = g_signal_new ("begun", G_TYPE_FROM_CLASS (klass), G_SIGNAL_RUN_LAST, 0, NULL, NULL,
                                        NULL, G_TYPE_NONE, 1, G_TYPE_STRING);
  signals[SIGNAL_GIVEN_UP] = g_signal_new ("given-up", G_TYPE_FROM_CLASS (klass), G_SIGNAL_RUN_LAST, 0, NULL,
                                           NULL, NULL, G_TYPE_NONE, 0);

  g_type_ensure (TD_TYPE_NOTICE);
  g_type_ensure (TD_TYPE_MOMENT_BUTTON);
  gtk_widget_class_set_template_from_resource (widget_class, "/tundish/begin-form.ui");
  gtk_widget_class_bind_template_child (widget_class, TdBeginForm, box);
  gtk_widget_class_bind_template_child (widget_class, TdBeginForm, notice);
  gtk_widget_class_bind_template_child (widget_class, TdBeginForm, who);
  gtk_widget_class_bind_template_child (widget_class, TdBeginForm, technician);
  gtk_widget_class_bind_template_child (widget_class, TdBeginForm, name);
  gtk_widget_class_bind_template_child (widget_class, TdBeginForm, crew_row);
  gtk_widget_class_bind_template_child (widget_class, TdBeginForm, crew);
  gtk_widget_class_bind_template_child (widget_class, TdBeginForm, work_row);
  gtk_widget_class_bind_template_child (widget_class, TdBeginForm, arrived);
  gtk_widget_class_bind_template_child (widget_class, TdBeginForm, sds);
  gtk_widget_class_bind_template_child (widget_class, TdBeginForm, out_of_hours);
  gtk_widget_class_bind_template_child (widget_class, TdBeginForm, remark);
  gtk_widget_class_bind_template_callback (widget_class, technician_selected_cb);
  gtk_widget_class_set_layout_manager_type (widget_class, GTK_TYPE_BIN_LAYOUT);
  gtk_widget_class_install_property_action (widget_class, "begin.work", "work");
  gtk_widget_class_install_action (widget_class, "begin.commit", NULL, commit_action);
  gtk_widget_class_install_action (widget_class, "begin.give-up", NULL, give_up_action);
}

static void
td_begin_form_init (TdBeginForm *self)
{
  self->work = g_strdup ("routine");
  self->people = g_ptr_array_new ();
  gtk_widget_init_template (GTK_WIDGET (self));
}

GtkWidget *
td_begin_form_new (void)
{
  return g_object_new (TD_TYPE_BEGIN_FORM, NULL);
}

void
td_begin_form_set_context (TdBeginForm *self, TdContext *context)
{
  g_return_if_fail (TD_IS_BEGIN_FORM (self));
  g_set_object (&self->context, context);
}

static void
show_people (TdBeginForm *self)
{
  g_autoptr (GtkStringList) names = gtk_string_list_new (NULL);
  guint n = self->people->len;
  GtkFlowBoxChild *child;

  while ((child = gtk_flow_box_get_child_at_index (self->crew, 0)) != NULL)
    gtk_flow_box_remove (self->crew, GTK_WIDGET (child));
  for (guint i = 0; i < n; i++)
    {
      GtkWidget *button = gtk_toggle_button_new_with_label (get_technician (self, i)->name);

      gtk_string_list_append (names, get_technician (self, i)->name);
      gtk_flow_box_append (self->crew, button);
      /* The button is what is reached and pressed; its cell would be a stop of its own for the Tab key. */
      gtk_widget_set_focusable (gtk_widget_get_parent (button), FALSE);
    }
  gtk_drop_down_set_model (self->technician, G_LIST_MODEL (names));
  gtk_stack_set_visible_child_name (self->who, n > 0 ? "known" : "typed");
  gtk_widget_set_visible (self->crew_row, n > 1);
  technician_selected_cb (self->technician, NULL, self);
}

void
td_begin_form_set_site (TdBeginForm *self, const char *site_id, TdSite *site, TdMasters *masters)
{
  g_return_if_fail (TD_IS_BEGIN_FORM (self));
  g_return_if_fail (site_id != NULL && site != NULL && masters != NULL);
  g_free (self->site_id);
  self->site_id = g_strdup (site_id);
  g_clear_pointer (&self->zone, td_zone_unref);
  self->zone = td_zone_load (site->zone, NULL);
  g_clear_pointer (&self->masters, td_masters_unref);
  self->masters = td_masters_ref (masters);
  g_ptr_array_set_size (self->people, 0);
  for (guint i = 0; i < masters->n_technicians; i++)
    if (!masters->technicians[i].retired)
      g_ptr_array_add (self->people, &masters->technicians[i]);
  show_people (self);
}

void
td_begin_form_set_amends (TdBeginForm *self, const TdUuid *amends)
{
  g_return_if_fail (TD_IS_BEGIN_FORM (self));
  self->amending = amends != NULL;
  if (amends != NULL)
    self->amends = *amends;
  set_work (self, amends != NULL ? "amendment" : "routine");
  gtk_widget_set_visible (self->work_row, amends == NULL);
}

void
td_begin_form_start (TdBeginForm *self)
{
  g_autofree char *person = NULL;
  TdQueue *queue;

  g_return_if_fail (TD_IS_BEGIN_FORM (self) && self->masters != NULL);
  queue = td_context_get_queue (self->context);
  person = td_state_get_person (td_context_get_state (self->context), td_queue_get_path (queue));
  for (guint i = 0; i < self->people->len; i++)
    if (g_strcmp0 (person, get_technician (self, i)->id) == 0)
      gtk_drop_down_set_selected (self->technician, i);
  if (self->people->len == 0 && person != NULL)
    gtk_editable_set_text (GTK_EDITABLE (self->name), person);
  td_moment_button_set_clock (self->arrived, self->zone, td_context_get_now_ms (self->context));
  td_moment_button_set_utc_ms (self->arrived, 0);
  td_notice_clear (self->notice);
  gtk_widget_child_focus (GTK_WIDGET (self), GTK_DIR_TAB_FORWARD);
}
