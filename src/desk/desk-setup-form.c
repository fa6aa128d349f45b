#include "desk-setup-form.h"

#include "core-json-build.h"
#include "core-slug.h"
#include "desk-i18n.h"
#include "desk-notice.h"
#include "store-master.h"

struct _TdSetupForm
{
  GtkWidget parent;
  TdContext *context;
  GCancellable *cancellable;

  GtkWidget *root;
  TdNotice *notice;
  GtkEditable *company;
  GtkEditable *address;
  GtkEditable *phone;
  GtkEditable *emergency;
  GtkEditable *technician;
};

G_DEFINE_FINAL_TYPE (TdSetupForm, td_setup_form, GTK_TYPE_WIDGET)

static char *
get_text (GtkEditable *editable)
{
  return g_strstrip (g_strdup (gtk_editable_get_text (editable)));
}

static void
add_member (TdJsonBuilder *builder, const char *key, GtkEditable *editable)
{
  g_autofree char *text = get_text (editable);

  if (*text != '\0')
    td_json_builder_member_string (builder, key, text);
}

/* The form as a company file, the one way in which a company comes into a book. */
static TdMasters *
make_masters (TdSetupForm *self, GError **error)
{
  g_autoptr (TdJsonBuilder) builder = td_json_builder_new ();
  g_autoptr (TdJson) json = NULL;
  g_autofree char *technician = get_text (self->technician);

  td_json_builder_begin_object (builder);
  td_json_builder_member_string (builder, "format", TD_COMPANY_FORMAT);
  td_json_builder_key (builder, "company");
  td_json_builder_begin_object (builder);
  add_member (builder, "name", self->company);
  add_member (builder, "address", self->address);
  add_member (builder, "phone", self->phone);
  add_member (builder, "emergency_phone", self->emergency);
  td_json_builder_end (builder);
  if (*technician != '\0')
    {
      g_autofree char *id = td_slug_from_text (technician);

      td_json_builder_key (builder, "technicians");
      td_json_builder_begin_array (builder);
      td_json_builder_begin_object (builder);
      td_json_builder_member_string (builder, "id", id);
      td_json_builder_member_string (builder, "name", technician);
      td_json_builder_end (builder);
      td_json_builder_end (builder);
    }
  td_json_builder_end (builder);
  json = td_json_builder_finish (builder);
  return td_masters_from_json (json, error);
}

static gboolean
keep_job (TdBook *book, gpointer data, gpointer *result_out, GError **error)
{
  return td_book_import_company (book, data, NULL, error);
}

static void
kept_cb (GObject *source, GAsyncResult *result, gpointer user_data)
{
  g_autoptr (TdSetupForm) self = user_data;
  g_autoptr (GError) error = NULL;

  if (td_queue_run_finish (result, NULL, &error))
    td_notice_show_done (self->notice, _ ("Kept. Now take in the sheets of your sites."));
  else
    td_notice_show_error (self->notice, _ ("The company was not kept."), error);
}

static void
keep_action (GtkWidget *widget, const char *name, GVariant *parameter)
{
  TdSetupForm *self = TD_SETUP_FORM (widget);
  g_autoptr (GError) error = NULL;
  TdMasters *masters = make_masters (self, &error);

  if (masters == NULL)
    {
      td_notice_show_error (self->notice, _ ("The company was not kept."), error);
      return;
    }
  td_context_run_async (self->context, TD_JOB_WRITE, keep_job, masters, (GDestroyNotify) td_masters_unref, NULL,
                        NULL, kept_cb, g_object_ref (self));
}

static gboolean
read_job (TdBook *book, gpointer data, gpointer *result_out, GError **error)
{
  *result_out = td_book_get_masters (book, error);
  return *result_out != NULL;
}

static void
fill (GtkEditable *editable, const char *text)
{
  if (text != NULL && *gtk_editable_get_text (editable) == '\0')
    gtk_editable_set_text (editable, text);
}

static void
read_cb (GObject *source, GAsyncResult *result, gpointer user_data)
{
  TdSetupForm *self = user_data;
  g_autoptr (GError) error = NULL;
  g_autoptr (TdMasters) masters = NULL;
  gpointer answer = NULL;

  if (!td_queue_run_finish (result, &answer, &error))
    {
      if (!g_error_matches (error, G_IO_ERROR, G_IO_ERROR_CANCELLED))
        td_notice_show_error (self->notice, _ ("The company could not be read."), error);
      return;
    }
  masters = answer;
  fill (self->company, masters->company);
  fill (self->address, masters->company_address);
  fill (self->phone, masters->company_phone);
  fill (self->emergency, masters->emergency_phone);
  if (masters->n_technicians > 0)
    fill (self->technician, masters->technicians[0].name);
}

static void
td_setup_form_dispose (GObject *object)
{
  TdSetupForm *self = TD_SETUP_FORM (object);

  g_cancellable_cancel (self->cancellable);
  g_clear_pointer (&self->root, gtk_widget_unparent);
  g_clear_object (&self->context);
  G_OBJECT_CLASS (td_setup_form_parent_class)->dispose (object);
}

static void
td_setup_form_finalize (GObject *object)
{
  g_clear_object (&TD_SETUP_FORM (object)->cancellable);
  G_OBJECT_CLASS (td_setup_form_parent_class)->finalize (object);
}

static void
td_setup_form_class_init (TdSetupFormClass *klass)
{
  GObjectClass *object_class = G_OBJECT_CLASS (klass);
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  object_class->dispose = td_setup_form_dispose;
  object_class->finalize = td_setup_form_finalize;
  g_type_ensure (TD_TYPE_NOTICE);
  gtk_widget_class_set_template_from_resource (widget_class, "/tundish/setup-form.ui");
  gtk_widget_class_bind_template_child (widget_class, TdSetupForm, root);
  gtk_widget_class_bind_template_child (widget_class, TdSetupForm, notice);
  gtk_widget_class_bind_template_child (widget_class, TdSetupForm, company);
  gtk_widget_class_bind_template_child (widget_class, TdSetupForm, address);
  gtk_widget_class_bind_template_child (widget_class, TdSetupForm, phone);
  gtk_widget_class_bind_template_child (widget_class, TdSetupForm, emergency);
  gtk_widget_class_bind_template_child (widget_class, TdSetupForm, technician);
  gtk_widget_class_set_layout_manager_type (widget_class, GTK_TYPE_BIN_LAYOUT);
  gtk_widget_class_install_action (widget_class, "setup.keep", NULL, keep_action);
}

static void
td_setup_form_init (TdSetupForm *self)
{
  self->cancellable = g_cancellable_new ();
  gtk_widget_init_template (GTK_WIDGET (self));
}

GtkWidget *
td_setup_form_new (TdContext *context)
{
  TdSetupForm *self = g_object_new (TD_TYPE_SETUP_FORM, NULL);

  g_return_val_if_fail (TD_IS_CONTEXT (context), GTK_WIDGET (self));
  self->context = g_object_ref (context);
  td_context_run_async (context, TD_JOB_READ, read_job, NULL, NULL, (GDestroyNotify) td_masters_unref,
                        self->cancellable, read_cb, self);
  return GTK_WIDGET (self);
}
