#include "desk-record-view.h"

#include "desk-format.h"
#include "desk-i18n.h"
#include "model-entry.h"
#include "model-finding.h"

struct _TdRecordView
{
  GtkWidget parent;
  TdSession *session;
  gboolean stale; /* the visit has changed since nobody looks */

  GtkWidget *root;
  GtkLabel *findings_title;
  GtkNoSelection *findings;
  GtkNoSelection *entries;
  GtkLabel *entries_title;
};

G_DEFINE_FINAL_TYPE (TdRecordView, td_record_view, GTK_TYPE_WIDGET)

enum
{
  SIGNAL_ENTRY_CHOSEN,
  N_SIGNALS
};

static guint signals[N_SIGNALS];

static void
show (TdRecordView *self)
{
  TdVisit *visit = td_session_get_visit (self->session);
  GPtrArray *found = td_session_get_findings (self->session);
  g_autoptr (GListStore) findings = td_finding_list_new (visit, found);
  g_autoptr (GListStore) entries = td_entry_list_new (visit);
  g_autofree char *title = td_format_findings (self, td_findings_count (found, TD_SEVERITY_STOP),
                                               td_findings_count (found, TD_SEVERITY_REASON),
                                               td_findings_count (found, TD_SEVERITY_ADVICE));
  g_autofree char *acts = g_strdup_printf (g_dngettext (GETTEXT_PACKAGE, "%u act", "%u acts", visit->entries->len),
                                           visit->entries->len);

  gtk_no_selection_set_model (self->findings, G_LIST_MODEL (findings));
  gtk_no_selection_set_model (self->entries, G_LIST_MODEL (entries));
  gtk_label_set_label (self->findings_title, title);
  gtk_label_set_label (self->entries_title, acts);
}

/* A row for every entry is dear: they are made when somebody looks. */
static void
changed_cb (TdRecordView *self)
{
  self->stale = !gtk_widget_get_mapped (GTK_WIDGET (self));
  if (!self->stale)
    show (self);
}

static void
td_record_view_map (GtkWidget *widget)
{
  TdRecordView *self = TD_RECORD_VIEW (widget);

  if (self->stale && self->session != NULL)
    show (self);
  self->stale = FALSE;
  GTK_WIDGET_CLASS (td_record_view_parent_class)->map (widget);
}

static void
entry_activated_cb (GtkListView *view, guint position, TdRecordView *self)
{
  g_autoptr (TdEntryItem) item = g_list_model_get_item (G_LIST_MODEL (self->entries), position);

  g_signal_emit (self, signals[SIGNAL_ENTRY_CHOSEN], 0, td_entry_item_get_seq (item));
}

static void
td_record_view_dispose (GObject *object)
{
  TdRecordView *self = TD_RECORD_VIEW (object);

  g_clear_pointer (&self->root, gtk_widget_unparent);
  g_clear_object (&self->session);
  G_OBJECT_CLASS (td_record_view_parent_class)->dispose (object);
}

static void
td_record_view_class_init (TdRecordViewClass *klass)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  G_OBJECT_CLASS (klass)->dispose = td_record_view_dispose;
  widget_class->map = td_record_view_map;
  signals[SIGNAL_ENTRY_CHOSEN] = g_signal_new ("entry-chosen", G_TYPE_FROM_CLASS (klass), G_SIGNAL_RUN_LAST, 0,
                                               NULL, NULL, NULL, G_TYPE_NONE, 1, G_TYPE_UINT);
  g_type_ensure (TD_TYPE_ENTRY_ITEM);
  g_type_ensure (TD_TYPE_FINDING_ITEM);
  gtk_widget_class_set_template_from_resource (widget_class, "/tundish/record-view.ui");
  td_format_bind (widget_class);
  gtk_widget_class_bind_template_child (widget_class, TdRecordView, root);
  gtk_widget_class_bind_template_child (widget_class, TdRecordView, findings_title);
  gtk_widget_class_bind_template_child (widget_class, TdRecordView, findings);
  gtk_widget_class_bind_template_child (widget_class, TdRecordView, entries);
  gtk_widget_class_bind_template_child (widget_class, TdRecordView, entries_title);
  gtk_widget_class_bind_template_callback (widget_class, entry_activated_cb);
  gtk_widget_class_set_layout_manager_type (widget_class, GTK_TYPE_BIN_LAYOUT);
}

static void
td_record_view_init (TdRecordView *self)
{
  gtk_widget_init_template (GTK_WIDGET (self));
}

GtkWidget *
td_record_view_new (void)
{
  return g_object_new (TD_TYPE_RECORD_VIEW, NULL);
}

void
td_record_view_set_session (TdRecordView *self, TdSession *session)
{
  g_return_if_fail (TD_IS_RECORD_VIEW (self));
  if (self->session != NULL)
    g_signal_handlers_disconnect_by_func (self->session, changed_cb, self);
  g_set_object (&self->session, session);
  if (session == NULL)
    return;
  g_signal_connect_object (session, "changed", G_CALLBACK (changed_cb), self, G_CONNECT_SWAPPED);
  changed_cb (self);
}
