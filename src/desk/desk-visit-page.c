#include "desk-visit-page.h"

#include "desk-begin-form.h"
#include "desk-document-view.h"
#include "desk-format.h"
#include "desk-i18n.h"
#include "desk-notice.h"
#include "desk-page.h"
#include "desk-record-view.h"
#include "desk-report.h"
#include "model-stops.h"
#include "wizard-page.h"

struct _TdVisitPage
{
  GtkWidget parent;
  TdContext *context;
  GCancellable *cancellable;
  TdSession *session;
  gboolean report_stale; /* the report was made before the visit last changed */

  GtkWidget *box;
  TdNotice *notice;
  GtkLabel *state;
  GtkWidget *amend;
  GtkStack *stack;
  GtkStackPage *work_page;
  TdWizard *wizard;
  TdRecordView *record;
  TdDocumentView *report;
  TdBeginForm *form;
};

G_DEFINE_FINAL_TYPE (TdVisitPage, td_visit_page, GTK_TYPE_WIDGET)

enum
{
  PROP_0,
  PROP_TITLE,
  PROP_SUBTITLE,
  PROP_SESSION,
  N_PROPS
};

static GParamSpec *properties[N_PROPS];

/* The report is laid out when somebody looks at it. */
static void
update_report (TdVisitPage *self)
{
  g_autoptr (GError) error = NULL;

  if (!self->report_stale || self->session == NULL
      || g_strcmp0 (gtk_stack_get_visible_child_name (self->stack), "report") != 0)
    return;
  self->report_stale = FALSE;
  if (!td_report_show (self->report, self->session, td_context_get_settings (self->context), &error))
    td_document_view_set_error (self->report, error);
}

static void
shown_child_cb (GtkStack *stack, GParamSpec *pspec, TdVisitPage *self)
{
  update_report (self);
}

/* While the visit is open, what is left to do: a rule that stops eight lines is one thing, as beside the steps. */
static guint
count_findings (TdVisitPage *self, TdSeverity severity)
{
  GPtrArray *found = td_session_get_findings (self->session);
  g_autoptr (GPtrArray) groups = NULL;

  if (td_session_get_row (self->session)->closed)
    return td_findings_count (found, severity);
  groups = td_stop_groups_new (td_session_get_visit (self->session), found, severity);
  return groups->len;
}

static void
session_changed_cb (TdVisitPage *self)
{
  const TdVisitRow *row = td_session_get_row (self->session);
  g_autofree char *findings
    = td_format_findings (self, count_findings (self, TD_SEVERITY_STOP), count_findings (self, TD_SEVERITY_REASON),
                          count_findings (self, TD_SEVERITY_ADVICE));
  g_auto (GStrv) classes = td_format_visit_classes (self, row->closed);
  g_autofree char *title = td_format_visit_title (self, row->number, row->closed, row->amended);
  g_autofree char *text = td_format_pair (self, title, findings);

  gtk_label_set_label (self->state, text);
  gtk_widget_set_css_classes (GTK_WIDGET (self->state), (const char **) classes);
  gtk_widget_set_visible (self->amend, row->closed && !row->amended);
  /* What is closed is not worked on: the report is what comes of it. */
  if (row->closed && g_strcmp0 (gtk_stack_get_visible_child_name (self->stack), "work") == 0)
    gtk_stack_set_visible_child_name (self->stack, "report");
  gtk_stack_page_set_visible (self->work_page, !row->closed);
  gtk_widget_action_set_enabled (GTK_WIDGET (self), "visit.amend", row->closed && !row->amended);
  self->report_stale = TRUE;
  update_report (self);
  g_object_notify_by_pspec (G_OBJECT (self), properties[PROP_TITLE]);
  g_object_notify_by_pspec (G_OBJECT (self), properties[PROP_SUBTITLE]);
}

/* @session: (transfer full). */
static void
take_session (TdVisitPage *self, TdSession *session)
{
  self->session = session;
  td_context_keep_session (self->context, session);
  g_signal_connect_object (session, "changed", G_CALLBACK (session_changed_cb), self, G_CONNECT_SWAPPED);
  td_record_view_set_session (self->record, session);
  td_wizard_set_session (self->wizard, self->session);
  gtk_stack_page_set_visible (self->work_page, TRUE);
  gtk_stack_set_visible_child_name (self->stack, td_session_get_row (session)->closed ? "record" : "work");
  session_changed_cb (self);
  if (!td_session_get_row (session)->closed)
    td_wizard_focus (self->wizard);
  g_object_notify_by_pspec (G_OBJECT (self), properties[PROP_SESSION]);
}

/* Paper or units: the report is laid out anew. */
static void
preference_changed_cb (TdVisitPage *self)
{
  self->report_stale = TRUE;
  if (self->session == NULL)
    return;
  update_report (self);
  td_record_view_set_session (self->record, self->session);
}

static void
opened_cb (GObject *source, GAsyncResult *result, gpointer user_data)
{
  TdVisitPage *self = user_data;
  g_autoptr (GError) error = NULL;
  g_autoptr (TdSession) session = td_session_open_finish (result, &error);

  if (session == NULL)
    {
      /* Cancelled: the page is gone, and must not be looked at. */
      if (!g_error_matches (error, G_IO_ERROR, G_IO_ERROR_CANCELLED))
        td_notice_show_error (self->notice, _ ("The visit could not be read."), error);
      return;
    }
  take_session (self, g_steal_pointer (&session));
}

static void
show_action (GtkWidget *widget, const char *name, GVariant *parameter)
{
  TdVisitPage *self = TD_VISIT_PAGE (widget);
  GtkWidget *child = gtk_stack_get_child_by_name (self->stack, g_variant_get_string (parameter, NULL));

  if (child != NULL)
    gtk_stack_set_visible_child (self->stack, child);
}

static void
amend_action (GtkWidget *widget, const char *name, GVariant *parameter)
{
  TdVisitPage *self = TD_VISIT_PAGE (widget);
  TdVisit *visit = td_session_get_visit (self->session);

  td_begin_form_set_context (self->form, self->context);
  td_begin_form_set_site (self->form, visit->site_id, visit->site, td_session_get_masters (self->session));
  td_begin_form_set_amends (self->form, &visit->id);
  gtk_stack_set_visible_child_name (self->stack, "begin");
  td_begin_form_start (self->form);
}

static void
begun_cb (TdBeginForm *form, const char *visit, TdVisitPage *self)
{
  gtk_widget_activate_action (GTK_WIDGET (self), "win.show-visit", "s", visit);
}

static void
given_up_cb (TdBeginForm *form, TdVisitPage *self)
{
  gtk_stack_set_visible_child_name (self->stack, "record");
}

static char *
make_subtitle (TdVisitPage *self)
{
  const TdVisitRow *row = td_session_get_row (self->session);
  g_autofree char *date = td_format_date (self, row->date);

  return td_format_pair (self, date, row->person);
}

static void
td_visit_page_get_property (GObject *object, guint id, GValue *value, GParamSpec *pspec)
{
  TdVisitPage *self = TD_VISIT_PAGE (object);

  switch (id)
    {
    case PROP_TITLE:
      g_value_set_string (value, self->session != NULL ? td_session_get_row (self->session)->site : NULL);
      break;
    case PROP_SUBTITLE:
      if (self->session != NULL)
        g_value_take_string (value, make_subtitle (self));
      break;
    case PROP_SESSION:
      g_value_set_object (value, self->session);
      break;
    default:
      G_OBJECT_WARN_INVALID_PROPERTY_ID (object, id, pspec);
    }
}

static void
td_visit_page_dispose (GObject *object)
{
  TdVisitPage *self = TD_VISIT_PAGE (object);

  g_cancellable_cancel (self->cancellable);
  g_clear_pointer (&self->box, gtk_widget_unparent);
  g_clear_object (&self->session);
  g_clear_object (&self->context);
  G_OBJECT_CLASS (td_visit_page_parent_class)->dispose (object);
}

static void
td_visit_page_finalize (GObject *object)
{
  g_clear_object (&TD_VISIT_PAGE (object)->cancellable);
  G_OBJECT_CLASS (td_visit_page_parent_class)->finalize (object);
}

static void
td_visit_page_class_init (TdVisitPageClass *klass)
{
  GObjectClass *object_class = G_OBJECT_CLASS (klass);
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);
  const GParamFlags readable = G_PARAM_READABLE | G_PARAM_STATIC_STRINGS;

  object_class->get_property = td_visit_page_get_property;
  object_class->dispose = td_visit_page_dispose;
  object_class->finalize = td_visit_page_finalize;
  td_page_make_title_properties (&properties[PROP_TITLE], &properties[PROP_SUBTITLE]);
  properties[PROP_SESSION] = g_param_spec_object ("session", NULL, NULL, TD_TYPE_SESSION, readable);
  g_object_class_install_properties (object_class, N_PROPS, properties);

  g_type_ensure (TD_TYPE_NOTICE);
  g_type_ensure (TD_TYPE_RECORD_VIEW);
  g_type_ensure (TD_TYPE_DOCUMENT_VIEW);
  g_type_ensure (TD_TYPE_BEGIN_FORM);
  g_type_ensure (TD_TYPE_WIZARD);
  gtk_widget_class_set_template_from_resource (widget_class, "/tundish/visit-page.ui");
  gtk_widget_class_bind_template_child (widget_class, TdVisitPage, box);
  gtk_widget_class_bind_template_child (widget_class, TdVisitPage, notice);
  gtk_widget_class_bind_template_child (widget_class, TdVisitPage, state);
  gtk_widget_class_bind_template_child (widget_class, TdVisitPage, amend);
  gtk_widget_class_bind_template_child (widget_class, TdVisitPage, stack);
  gtk_widget_class_bind_template_child (widget_class, TdVisitPage, work_page);
  gtk_widget_class_bind_template_child (widget_class, TdVisitPage, wizard);
  gtk_widget_class_bind_template_child (widget_class, TdVisitPage, record);
  gtk_widget_class_bind_template_child (widget_class, TdVisitPage, report);
  gtk_widget_class_bind_template_child (widget_class, TdVisitPage, form);
  gtk_widget_class_bind_template_callback (widget_class, shown_child_cb);
  gtk_widget_class_bind_template_callback (widget_class, begun_cb);
  gtk_widget_class_bind_template_callback (widget_class, given_up_cb);
  gtk_widget_class_set_layout_manager_type (widget_class, GTK_TYPE_BIN_LAYOUT);
  gtk_widget_class_install_action (widget_class, "visit.show", "s", show_action);
  gtk_widget_class_install_action (widget_class, "visit.amend", NULL, amend_action);
}

static void
td_visit_page_init (TdVisitPage *self)
{
  self->cancellable = g_cancellable_new ();
  gtk_widget_init_template (GTK_WIDGET (self));
  gtk_widget_action_set_enabled (GTK_WIDGET (self), "visit.amend", FALSE);
}

GtkWidget *
td_visit_page_new (TdContext *context, const char *visit)
{
  TdVisitPage *self = g_object_new (TD_TYPE_VISIT_PAGE, NULL);
  g_autoptr (GError) error = NULL;
  TdUuid id;

  g_return_val_if_fail (TD_IS_CONTEXT (context) && visit != NULL, GTK_WIDGET (self));
  self->context = g_object_ref (context);
  g_signal_connect_object (td_context_get_settings (context), "changed::paper", G_CALLBACK (preference_changed_cb),
                           self, G_CONNECT_SWAPPED | G_CONNECT_AFTER);
  g_signal_connect_object (td_context_get_settings (context), "changed::units", G_CALLBACK (preference_changed_cb),
                           self, G_CONNECT_SWAPPED | G_CONNECT_AFTER);
  if (!td_uuid_parse (visit, &id, &error))
    td_notice_show_error (self->notice, _ ("The visit could not be read."), error);
  else if (td_context_find_session (context, &id) != NULL)
    take_session (self, g_object_ref (td_context_find_session (context, &id)));
  else
    td_session_open_async (td_context_get_queue (context), &id, td_context_get_clock (context),
                           self->cancellable, opened_cb, self);
  return GTK_WIDGET (self);
}

TdSession *
td_visit_page_get_session (TdVisitPage *self)
{
  g_return_val_if_fail (TD_IS_VISIT_PAGE (self), NULL);
  return self->session;
}

const char *
td_visit_page_get_site_id (TdVisitPage *self)
{
  g_return_val_if_fail (TD_IS_VISIT_PAGE (self), NULL);
  return self->session != NULL ? td_session_get_visit (self->session)->site_id : NULL;
}
