/* The chemical account as JSON and as CSV. */
#include "core-audit.h"
#include "core-json-build.h"
#include "core-visit.h"

#include <string.h>

static void
add_account (TdJsonBuilder *builder, const TdStockAccount *row)
{
  td_json_builder_member_integer (builder, "opening_ml", row->opening_ml);
  td_json_builder_member_integer (builder, "received_ml", row->received_ml);
  td_json_builder_member_integer (builder, "used_ml", row->used_ml);
  td_json_builder_member_integer (builder, "disposed_ml", row->disposed_ml);
  td_json_builder_member_integer (builder, "adjusted_ml", row->adjusted_ml);
  if (row->place != NULL)
    td_json_builder_member_integer (builder, "moved_ml", row->moved_ml);
  td_json_builder_member_integer (builder, "closing_ml", row->closing_ml);
  td_json_builder_member_known (builder, "counted_ml", row->counted_ml);
  td_json_builder_member_known (builder, "expected_ml", row->expected_ml);
  td_json_builder_member_integer (builder, "without_expectation_ml", row->unexpected_ml);
}

static void
add_ways (TdJsonBuilder *builder, const gint64 *known_ml)
{
  td_json_builder_member_integer (builder, "measured_ml", known_ml[TD_KNOWN_MEASURED]);
  td_json_builder_member_integer (builder, "accepted_ml", known_ml[TD_KNOWN_ACCEPTED]);
  td_json_builder_member_integer (builder, "estimated_ml", known_ml[TD_KNOWN_ESTIMATED]);
}

static void
add_rows (TdJsonBuilder *builder, const TdAudit *audit, const char *key, const GArray *rows)
{
  td_json_builder_key (builder, key);
  td_json_builder_begin_array (builder);
  for (guint i = 0; i < rows->len; i++)
    {
      const TdAuditRow *row = &g_array_index (rows, TdAuditRow, i);

      td_json_builder_begin_object (builder);
      td_json_builder_member_string (builder, "product", row->name);
      td_json_builder_member_string (builder, "product_id", row->account.product);
      if (strcmp (key, "lots") == 0)
        {
          td_json_builder_member_string (builder, "lot_id", row->account.lot);
          td_json_builder_member_string (builder, "lot", row->detail);
        }
      if (row->account.place != NULL)
        {
          td_json_builder_member_string (builder, "place_id", row->account.place);
          td_json_builder_member_string (builder, "place", row->detail);
        }
      add_account (builder, &row->account);
      if (strcmp (key, "products") == 0)
        {
          add_ways (builder, row->known_ml);
          td_json_builder_member_integer (builder, "water_ml", row->water_ml);
          td_json_builder_member_integer (builder, "uses", row->uses);
          td_json_builder_member_integer (builder, "lines", td_audit_count_lines (audit, row->account.product));
        }
      td_json_builder_member_known (builder, "cost_minor", row->cost_minor);
      td_json_builder_member_string (builder, "currency", row->currency);
      td_json_builder_end (builder);
    }
  td_json_builder_end (builder);
}

static void
add_groups (TdJsonBuilder *builder, const char *key, const GPtrArray *groups)
{
  td_json_builder_key (builder, key);
  td_json_builder_begin_array (builder);
  for (guint i = 0; i < groups->len; i++)
    {
      const TdAuditGroup *group = g_ptr_array_index (groups, i);

      td_json_builder_begin_object (builder);
      td_json_builder_member_string (builder, "id", group->key);
      td_json_builder_member_string (builder, "name", group->name);
      td_json_builder_member_string (builder, "product_id", group->product);
      td_json_builder_member_integer (builder, "uses", group->uses);
      td_json_builder_member_integer (builder, "used_ml", group->used_ml);
      td_json_builder_member_known (builder, "expected_ml", group->expected_ml);
      td_json_builder_member_integer (builder, "without_expectation_ml", group->unexpected_ml);
      add_ways (builder, group->known_ml);
      td_json_builder_member_integer (builder, "water_ml", group->water_ml);
      td_json_builder_member_integer (builder, "lines", group->lines);
      td_json_builder_end (builder);
    }
  td_json_builder_end (builder);
}

static void
add_exception (TdJsonBuilder *builder, const TdAuditException *exception)
{
  const TdMoment at = { exception->at_ms, 0 };
  g_autofree char *when = exception->acknowledged ? td_moment_to_text (&at) : NULL;

  td_json_builder_begin_object (builder);
  td_json_builder_member_string (builder, "code", td_exception_get_info (exception->id)->code);
  td_json_builder_member_string (builder, "key", exception->key);
  td_json_builder_member_string (builder, "visit", exception->visit);
  td_json_builder_member_string (builder, "number", exception->number);
  td_json_builder_member_string (builder, "site", exception->site);
  td_json_builder_member_string (builder, "line", exception->line);
  td_json_builder_member_string (builder, "subject", exception->subject);
  td_json_builder_member_date (builder, "date", exception->date);
  td_json_builder_member_string (builder, "text", exception->text);
  td_json_builder_key (builder, "acknowledged");
  if (exception->acknowledged)
    {
      td_json_builder_begin_object (builder);
      td_json_builder_member_string (builder, "by", exception->by);
      td_json_builder_member_string (builder, "reason", exception->reason);
      td_json_builder_member_string (builder, "at", when);
      td_json_builder_end (builder);
    }
  else
    td_json_builder_null (builder);
  td_json_builder_end (builder);
}

TdJson *
td_audit_to_json (const TdAudit *audit)
{
  g_autoptr (TdJsonBuilder) builder = td_json_builder_new ();

  g_return_val_if_fail (audit != NULL, NULL);
  td_json_builder_begin_object (builder);
  td_json_builder_member_string (builder, "format", "tundish-account/1");
  td_json_builder_member_string (builder, "company", audit->company);
  td_json_builder_member_date (builder, "from", audit->from);
  td_json_builder_member_date (builder, "to", audit->to);
  add_rows (builder, audit, "products", audit->products);
  add_rows (builder, audit, "lots", audit->lots);
  add_rows (builder, audit, "places", audit->places);
  for (guint i = 0; i < TD_N_AUDIT_GROUPS; i++)
    add_groups (builder, td_audit_group_kind_to_text (i), audit->groups[i]);
  td_json_builder_key (builder, "totals");
  td_json_builder_begin_object (builder);
  td_json_builder_member_integer (builder, "lines", audit->lines);
  td_json_builder_member_integer (builder, "water_ml", audit->water_ml);
  td_json_builder_member_integer (builder, "solution_disposed_ml", audit->solution_disposed_ml);
  td_json_builder_member_integer (builder, "band_percent", audit->band_percent);
  td_json_builder_member_integer (builder, "exceptions_open", td_audit_count_open (audit));
  td_json_builder_end (builder);
  td_json_builder_key (builder, "exceptions");
  td_json_builder_begin_array (builder);
  for (guint i = 0; i < audit->exceptions->len; i++)
    add_exception (builder, g_ptr_array_index (audit->exceptions, i));
  td_json_builder_end (builder);
  td_json_builder_end (builder);
  return td_json_builder_finish (builder);
}

/* ---- CSV ---- */

/* A field, quoted where RFC 4180 asks for it; a text that a spreadsheet would run as a formula is held
 * back by an apostrophe. */
static void
add_field (GString *csv, const char *text)
{
  gsize length = csv->len;
  gboolean quote = text != NULL && strpbrk (text, ",\"\r\n") != NULL;

  if (length > 0 && csv->str[length - 1] != '\n')
    g_string_append_c (csv, ',');
  if (text == NULL)
    return;
  if (quote)
    g_string_append_c (csv, '"');
  if (strchr ("=+-@\t", text[0]) != NULL && text[0] != '\0')
    g_string_append_c (csv, '\'');
  for (const char *at = text; *at != '\0'; at++)
    {
      if (*at == '"')
        g_string_append_c (csv, '"');
      g_string_append_c (csv, *at);
    }
  if (quote)
    g_string_append_c (csv, '"');
}

/* An empty field where @value is @none. */
static void
add_number (GString *csv, gint64 value, gint64 none)
{
  g_string_append_c (csv, ',');
  if (value != none)
    g_string_append_printf (csv, "%" G_GINT64_FORMAT, value);
}

static void
add_csv_rows (GString *csv, const char *what, const GArray *rows)
{
  for (guint i = 0; i < rows->len; i++)
    {
      const TdAuditRow *row = &g_array_index (rows, TdAuditRow, i);
      const TdStockAccount *account = &row->account;
      const char *id = account->lot != NULL ? account->lot : account->place;

      add_field (csv, what);
      add_field (csv, id != NULL ? id : "");
      add_field (csv, row->detail != NULL ? row->detail : "");
      add_field (csv, account->product);
      add_number (csv, account->opening_ml, G_MININT64);
      add_number (csv, account->received_ml, G_MININT64);
      add_number (csv, account->used_ml, G_MININT64);
      add_number (csv, account->disposed_ml, G_MININT64);
      add_number (csv, account->adjusted_ml, G_MININT64);
      add_number (csv, account->moved_ml, G_MININT64);
      add_number (csv, account->closing_ml, G_MININT64);
      add_number (csv, account->counted_ml, -1);
      add_number (csv, account->expected_ml, -1);
      g_string_append (csv, "\r\n");
    }
}

char *
td_audit_to_csv (const TdAudit *audit)
{
  g_autoptr (GString) csv = NULL;

  g_return_val_if_fail (audit != NULL, NULL);
  csv = g_string_new ("account,id,name,product_id,opening_ml,received_ml,used_ml,disposed_ml,adjusted_ml,moved_ml,"
                      "closing_ml,counted_ml,expected_ml\r\n");
  add_csv_rows (csv, "product", audit->products);
  add_csv_rows (csv, "lot", audit->lots);
  add_csv_rows (csv, "place", audit->places);
  for (guint kind = 0; kind < TD_N_AUDIT_GROUPS; kind++)
    for (guint i = 0; i < audit->groups[kind]->len; i++)
      {
        const TdAuditGroup *group = g_ptr_array_index (audit->groups[kind], i);

        add_field (csv, td_audit_group_kind_to_text (kind));
        add_field (csv, group->key);
        add_field (csv, group->name);
        add_field (csv, group->product);
        g_string_append (csv, ",,");
        add_number (csv, group->used_ml, G_MININT64);
        g_string_append (csv, ",,,,,");
        add_number (csv, group->expected_ml, -1);
        g_string_append (csv, "\r\n");
      }
  return g_string_free (g_steal_pointer (&csv), FALSE);
}
