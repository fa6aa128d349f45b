/* store-export-private.h: what the tables of an export share. */
#pragma once

#include "store-export.h"
#include "store-private.h"

G_BEGIN_DECLS

/* Where rows go, and which are wanted. */
typedef struct
{
  TdBook *book;
  TdDate from, to; /* limits always: far away where none was said */
  TdExportRow row;
  gpointer data;
} TdExporter;

/* Invoice lines and the ledger, which are read out of the frozen invoices. */
extern const char *const td_export_invoice_line_columns[];
extern const char *const td_export_ledger_columns[];
gboolean td_export_invoice_lines (const TdExporter *exporter, GError **error);
gboolean td_export_ledger (const TdExporter *exporter, GError **error);

G_END_DECLS
