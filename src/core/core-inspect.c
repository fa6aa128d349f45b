#include "core-inspect.h"

#include <string.h>

/* Marks a text for translation; whoever shows it translates it. */
#define N_(text) text

static const TdRecordRulesInfo rules_infos[TD_N_RECORD_RULES] = {
#define TD_RECORD_RULES(symbol, code, name, source, days) { code, name, source, days },
#include "core-inspect.def"
#undef TD_RECORD_RULES
};

#define PA (1u << TD_RECORD_RULES_PENNSYLVANIA)
#define RI (1u << TD_RECORD_RULES_RHODE_ISLAND)
#define DE (1u << TD_RECORD_RULES_GERMANY)
static const struct
{
  const char *code;
  const char *text;
  guint rules;
} items[TD_N_RECORD_ITEMS] = {
#define TD_RECORD_ITEM(symbol, code, text, rules) { code, text, rules },
#include "core-inspect.def"
#undef TD_RECORD_ITEM
};

const TdRecordRulesInfo *
td_record_rules_get_info (TdRecordRules rules)
{
  g_return_val_if_fail ((guint) rules < TD_N_RECORD_RULES, NULL);
  return &rules_infos[rules];
}

gboolean
td_record_rules_find (const char *code, TdRecordRules *rules_out)
{
  g_return_val_if_fail (code != NULL && rules_out != NULL, FALSE);
  for (guint i = 0; i < TD_N_RECORD_RULES; i++)
    if (strcmp (rules_infos[i].code, code) == 0)
      {
        *rules_out = (TdRecordRules) i;
        return TRUE;
      }
  return FALSE;
}

gboolean
td_record_rules_ask (TdRecordRules rules, TdRecordItem item)
{
  g_return_val_if_fail ((guint) rules < TD_N_RECORD_RULES && (guint) item < TD_N_RECORD_ITEMS, FALSE);
  return rules == TD_RECORD_RULES_ALL || (items[item].rules & (1u << rules)) != 0;
}

const char *
td_record_item_to_text (TdRecordItem item)
{
  g_return_val_if_fail ((guint) item < TD_N_RECORD_ITEMS, NULL);
  return items[item].code;
}

const char *
td_record_item_get_text (TdRecordItem item)
{
  g_return_val_if_fail ((guint) item < TD_N_RECORD_ITEMS, NULL);
  return items[item].text;
}

/* ---- the inspection ---- */

static void
clear_mix (gpointer data)
{
  TdInspectedMix *mix = data;

  g_free (mix->product);
  g_free (mix->lot);
}

static void
free_visit (gpointer data)
{
  TdInspectedVisit *visit = data;

  g_free (visit->visit);
  g_free (visit->number);
  g_free (visit->cleaners);
  g_free (visit->circulating);
  g_free (visit->still);
  g_free (visit->parts);
  g_array_unref (visit->mixes);
  g_free (visit->signed_by);
  g_free (visit->countersigned_by);
  g_free (visit->not_countersigned);
  g_free (visit);
}

TdInspection *
td_inspection_new (const TdSite *site, TdMasters *masters, TdRecordRules rules, int interval_days, TdDate from,
                   TdDate to)
{
  TdInspection *inspection = g_new0 (TdInspection, 1);
  int days;

  g_return_val_if_fail (site != NULL && masters != NULL && interval_days > 0 && from <= to, inspection);
  days = td_record_rules_get_info (rules)->days;
  inspection->site = g_strdup (site->name);
  inspection->account = g_strdup (site->account_name);
  inspection->address = g_strdup (site->address);
  inspection->company = g_strdup (masters->company);
  inspection->masters = td_masters_ref (masters);
  inspection->rules = rules;
  inspection->from = from;
  inspection->to = to;
  inspection->interval_days = days > 0 ? days : interval_days;
  inspection->first = TD_DATE_NONE;
  inspection->days_since = -1;
  inspection->visits = g_ptr_array_new_with_free_func (free_visit);
  return inspection;
}

void
td_inspection_free (TdInspection *inspection)
{
  g_return_if_fail (inspection != NULL);
  g_free (inspection->site);
  g_free (inspection->account);
  g_free (inspection->address);
  g_free (inspection->company);
  if (inspection->masters != NULL)
    td_masters_unref (inspection->masters);
  if (inspection->visits != NULL)
    g_ptr_array_unref (inspection->visits);
  g_free (inspection);
}

/* ---- a visit ---- */

static void
append (char **text, const char *separator, const char *part)
{
  char *old = *text;

  *text = old != NULL ? g_strconcat (old, separator, part, NULL) : g_strdup (part);
  g_free (old);
}

static gboolean
was_run (const TdVisitLine *line, TdMethod method)
{
  for (guint i = 0; i < line->passes->len; i++)
    if (g_array_index (line->passes, TdPass, i).method == method)
      return TRUE;
  return FALSE;
}

static void
fill_lines (TdInspectedVisit *to, const TdVisit *visit)
{
  for (guint i = 0; i < visit->n_lines; i++)
    {
      const TdVisitLine *line = &visit->lines[i];
      g_autofree char *title = td_outlet_get_title (visit->site, line->outlet);

      if (was_run (line, TD_METHOD_CIRCULATING))
        append (&to->circulating, ", ", title);
      if (was_run (line, TD_METHOD_STATIC))
        append (&to->still, ", ", title);
      to->passes += line->passes->len;
      for (guint p = 0; p < line->passes->len; p++)
        to->rinsed += g_array_index (line->passes, TdPass, p).rinse_passed;
    }
}

static void
fill_mixes (TdInspectedVisit *to, const TdVisit *visit, const TdMasters *masters)
{
  for (guint i = 0; i < visit->batches->len; i++)
    {
      const TdBatch *batch = &g_array_index (visit->batches, TdBatch, i);
      gboolean measured = batch->strength.stamp.seq != 0;
      const TdProduct *now;
      TdInspectedMix mix = { NULL, NULL, batch->concentrate_ml, measured ? batch->strength.value : batch->percent_milli,
                             measured ? batch->strength_basis : batch->basis, TD_DATE_NONE };

      if (batch->product != NULL)
        {
          mix.product = g_strdup (batch->product->name);
          now = td_masters_find_product (masters, batch->product->id);
          mix.sds_revised = now != NULL ? now->sds_revised : batch->product->sds_revised;
        }
      if (batch->lot != NULL)
        mix.lot = g_strdup (batch->lot->code);
      g_array_append_val (to->mixes, mix);
    }
}

static void
fill_people (TdInspectedVisit *to, const TdVisit *visit)
{
  const TdSignature *other = &visit->countersignature;

  for (guint i = 0; i < visit->persons->len; i++)
    append (&to->cleaners, ", ", td_visit_get_person_name (visit, g_ptr_array_index (visit->persons, i)));
  for (guint i = 0; i < visit->parts->len; i++)
    {
      const TdPart *part = &g_array_index (visit->parts, TdPart, i);
      g_autofree char *text = g_strdup_printf ("%" G_GINT64_FORMAT " %s", part->quantity, part->part);

      append (&to->parts, "; ", text);
    }
  if (visit->signature.given)
    to->signed_by = g_strdup (visit->signature.name);
  if (other->given && g_strcmp0 (other->meaning, "informed") == 0)
    to->countersigned_by = g_strdup (other->name);
  else if (other->given)
    to->not_countersigned = g_strdup (other->meaning);
}

static gboolean
has_mixes (const TdInspectedVisit *visit, gboolean sheets)
{
  for (guint i = 0; i < visit->mixes->len; i++)
    {
      const TdInspectedMix *mix = &g_array_index (visit->mixes, TdInspectedMix, i);

      if (sheets ? mix->sds_revised == TD_DATE_NONE
                 : mix->product == NULL || mix->lot == NULL || mix->concentrate_ml < 0)
        return FALSE;
    }
  return visit->mixes->len > 0;
}

/* The numbers of lines stand on the record where every line that was run has a name; parts are on record
 * once the visit is closed: then none means that none was changed. */
static gboolean
has_item (const TdInspection *inspection, const TdInspectedVisit *visit, TdRecordItem item)
{
  switch (item)
    {
    case TD_RECORD_DATE:
      return visit->date != TD_DATE_NONE;
    case TD_RECORD_CLEANER:
      return visit->cleaners != NULL;
    case TD_RECORD_METHOD:
    case TD_RECORD_LINES:
      return visit->circulating != NULL || visit->still != NULL;
    case TD_RECORD_PARTS:
      return visit->number != NULL || visit->parts != NULL;
    case TD_RECORD_CHEMICAL:
      return has_mixes (visit, FALSE);
    case TD_RECORD_RINSE:
      return visit->rinsed == visit->passes;
    case TD_RECORD_SIGNED:
      return visit->signed_by != NULL;
    case TD_RECORD_COUNTERSIGNED:
      return visit->countersigned_by != NULL;
    case TD_RECORD_INTERVAL:
      return visit->days <= inspection->interval_days;
    case TD_RECORD_SHEET:
      return has_mixes (visit, TRUE);
    case TD_N_RECORD_ITEMS:
    default:
      g_return_val_if_reached (TRUE);
    }
}

static gboolean
was_cleaned (const TdVisit *visit)
{
  for (guint i = 0; i < visit->n_lines; i++)
    if (visit->lines[i].passes->len > 0)
      return TRUE;
  return FALSE;
}

void
td_inspection_add (TdInspection *inspection, const TdVisit *visit, const char *number)
{
  TdInspectedVisit *to;
  TdDate date;

  g_return_if_fail (inspection != NULL && inspection->visits != NULL && visit != NULL);
  date = td_moment_get_date (&visit->arrived);
  if (!was_cleaned (visit) || date > inspection->to)
    return;
  if (date < inspection->from)
    {
      inspection->first = date;
      return;
    }
  to = g_new0 (TdInspectedVisit, 1);
  to->visit = td_uuid_to_text (&visit->id);
  to->number = g_strdup (number);
  to->date = date;
  to->days = inspection->first != TD_DATE_NONE ? date - inspection->first : -1;
  to->mixes = g_array_new (FALSE, FALSE, sizeof (TdInspectedMix));
  g_array_set_clear_func (to->mixes, clear_mix);
  fill_lines (to, visit);
  fill_mixes (to, visit, inspection->masters);
  fill_people (to, visit);
  for (guint item = 0; item < TD_N_RECORD_ITEMS; item++)
    to->missing[item] = td_record_rules_ask (inspection->rules, item) && !has_item (inspection, to, item);
  g_ptr_array_add (inspection->visits, to);
  inspection->first = date;
}

/* While visits come in, first is the cleaning before. */
void
td_inspection_finish (TdInspection *inspection)
{
  g_return_if_fail (inspection != NULL && inspection->visits != NULL);
  if (inspection->first != TD_DATE_NONE)
    inspection->days_since = inspection->to - inspection->first;
  inspection->first = TD_DATE_NONE;
  if (inspection->visits->len > 0)
    inspection->first = ((const TdInspectedVisit *) g_ptr_array_index (inspection->visits, 0))->date;
}

guint
td_inspection_count_missing (const TdInspection *inspection, TdRecordItem item)
{
  guint n = 0;

  g_return_val_if_fail (inspection != NULL && (guint) item < TD_N_RECORD_ITEMS, 0);
  for (guint i = 0; i < inspection->visits->len; i++)
    n += ((const TdInspectedVisit *) g_ptr_array_index (inspection->visits, i))->missing[item];
  return n;
}

guint
td_inspection_count_all_missing (const TdInspection *inspection)
{
  guint n = 0;

  for (guint item = 0; item < TD_N_RECORD_ITEMS; item++)
    n += td_inspection_count_missing (inspection, item);
  return n;
}

gboolean
td_inspection_is_overdue (const TdInspection *inspection)
{
  g_return_val_if_fail (inspection != NULL, FALSE);
  return inspection->days_since < 0 || inspection->days_since > inspection->interval_days;
}
