/* The reader of price agreements: whatever comes in, what it takes answers every question that is asked of it. */
#include "core-agreement.h"
#include "fuzz.h"

static void
check_agreement (const TdAgreement *agreement)
{
  g_assert_cmpuint (agreement->payers->len, >, 0);
  for (guint item = 0; item <= TD_ITEM_CONTRACT; item++)
    {
      const TdItemAsked asked = { (TdItem) item, "a-site", "L1", -1, -1, "routine" };
      guint payer = td_agreement_find_payer (agreement, &asked);
      const TdTaxRule *rule;

      g_assert_cmpuint (payer, <, agreement->payers->len);
      rule = td_agreement_find_tax (agreement, &asked, payer);
      g_assert_true ((rule->category == TD_TAX_S) == (rule->percent_milli > 0));
    }
  for (guint i = 0; i < agreement->payers->len; i++)
    {
      const TdPayer *payer = &g_array_index (agreement->payers, TdPayer, i);
      TdPayer copy = { 0 };

      for (const TdPartyField *field = td_payer_fields; field->key != NULL; field++)
        {
          const char *text = td_party_get (payer, field);

          g_assert_true (text == NULL ? !field->required : td_party_check (field->form, text, NULL));
        }
      td_payer_copy (payer, &copy);
      td_payer_clear (&copy);
    }
}

int
LLVMFuzzerTestOneInput (const uint8_t *data, size_t size)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (TdJson) json = td_json_parse ((const char *) data, (gssize) size, NULL);
  g_autoptr (TdAgreement) agreement = json != NULL ? td_agreement_from_json (json, &error) : NULL;

  if (agreement != NULL)
    check_agreement (agreement);
  else
    g_assert_true (json == NULL || (error != NULL && g_str_has_prefix (error->message, "line ")));
  return 0;
}
