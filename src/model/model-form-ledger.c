#include "model-form-ledger.h"

#include "core-error.h"
#include "core-json-build.h"
#include "core-ledger.h"
#include "model-i18n.h"

static const char *const no_keys[] = { NULL };

static const TdFormField fields[] = {
  { .key = "receivable", .label = N_ ("Owed by customers"), .fallback = "assets:receivable",
    .hint = N_ ("The account's number in the accounting program, as the ledger is exported for it.") },
  { .key = "bank", .label = N_ ("Bank"), .fallback = "assets:bank" },
  { .key = "tax", .label = N_ ("Tax owed"), .fallback = "liabilities:tax",
    .hint = N_ ("A code for one rate alone comes with a company file.") },
  { .key = "revenue", .label = N_ ("Revenue"), .fallback = "income:work",
    .hint = N_ ("Holds for every kind of revenue below that has no code of its own.") },
  { .key = "revenue-visit", .label = N_ ("Revenue: visits") },
  { .key = "revenue-call-out", .label = N_ ("Revenue: call-outs") },
  { .key = "revenue-tower", .label = N_ ("Revenue: towers") },
  { .key = "revenue-line", .label = N_ ("Revenue: lines") },
  { .key = "revenue-minutes", .label = N_ ("Revenue: time") },
  { .key = "revenue-out-of-hours", .label = N_ ("Revenue: out of hours") },
  { .key = "revenue-minimum", .label = N_ ("Revenue: up to the minimum") },
  { .key = "revenue-chemical", .label = N_ ("Revenue: chemicals") },
  { .key = "revenue-part", .label = N_ ("Revenue: parts") },
  { .key = "revenue-contract", .label = N_ ("Revenue: flat prices") },
  { .key = "revenue-discount", .label = N_ ("Revenue: discounts") },
};

static gboolean
check_ledger (const TdJson *file, GError **error)
{
  for (gsize i = 0; i < G_N_ELEMENTS (fields); i++)
    {
      const TdJson *value = td_json_get_member (file, fields[i].key);
      const char *code = value != NULL ? td_json_get_string (value) : NULL;

      if (value == NULL || (code != NULL && td_ledger_is_code (code)))
        continue;
      td_json_set_error (value, TD_ERROR_SHAPE, error,
                         "\"%s\" cannot be an account's code: it is short, and its words stand one space apart",
                         fields[i].key);
      return FALSE;
    }
  return TRUE;
}

const TdFormType *
td_form_get_ledger (void)
{
  static const TdFormType type = { .title = N_ ("Codes of the ledger"),
                                   .plural = N_ ("Codes of the ledger"),
                                   .new_title = N_ ("Codes of the ledger"),
                                   .fields = fields,
                                   .n_fields = G_N_ELEMENTS (fields),
                                   .title_keys = no_keys,
                                   .head = "",
                                   .tail = "",
                                   .check = check_ledger };

  return &type;
}

TdJson *
td_form_write_ledger (const TdMasters *masters)
{
  g_autoptr (TdJsonBuilder) builder = td_json_builder_new ();

  g_return_val_if_fail (masters != NULL, NULL);
  td_json_builder_begin_object (builder);
  for (gsize i = 0; i < G_N_ELEMENTS (fields); i++)
    {
      const TdLedgerAccount *account = td_masters_find_ledger (masters, fields[i].key);

      if (account != NULL)
        td_json_builder_member_string (builder, fields[i].key, account->code);
    }
  td_json_builder_end (builder);
  return td_json_builder_finish (builder);
}
