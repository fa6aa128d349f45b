/* What a body refers to: lines, places, circuits, mixes, tags, instruments. */
#include <string.h>

#include "core-error.h"
#include "core-fold.h"

void
td_fold_set_error (const TdEntry *entry, int code, GError **error, const char *format, ...)
{
  g_autofree char *text = NULL;
  va_list arguments;

  va_start (arguments, format);
  text = g_strdup_vprintf (format, arguments);
  va_end (arguments);
  g_set_error (error, TD_ERROR, code, "%s: %s", td_kind_get_code (entry->envelope.kind), text);
}

int
td_fold_find_outlet (const TdFold *fold, const TdEntry *entry, const char *id, GError **error)
{
  guint found = GPOINTER_TO_UINT (g_hash_table_lookup (fold->outlets, id));

  if (found == 0)
    td_fold_set_error (entry, TD_ERROR_REFERENCE, error,
                       "no line of this site has the id \"%s\": use an id of the site's sheet", id);
  return (int)found - 1;
}

gboolean
td_fold_get_outlet (TdFold *fold,
                    const TdEntry *entry,
                    const char *key,
                    int *index_out,
                    GError **error)
{
  const char *id = td_fold_get_text (entry, key);

  *index_out = -1;
  if (id == NULL)
    return TRUE;
  *index_out = td_fold_find_outlet (fold, entry, id, error);
  return *index_out >= 0;
}

static gboolean
get_place (const TdEntry *entry,
           const char *key,
           const TdSite *site,
           int (*find) (const TdSite *site, const char *id),
           int *index_out,
           GError **error)
{
  const char *id = td_fold_get_text (entry, key);

  *index_out = -1;
  if (id == NULL)
    return TRUE;
  *index_out = find (site, id);
  if (*index_out < 0)
    td_fold_set_error (entry, TD_ERROR_REFERENCE, error,
                       "no %s of this site has the id \"%s\": use an id of the site's sheet", key,
                       id);
  return *index_out >= 0;
}

gboolean
td_fold_get_tower (TdFold *fold, const TdEntry *entry, int *index_out, GError **error)
{
  return get_place (entry, "tower", fold->visit->site, td_site_find_tower, index_out, error);
}

gboolean
td_fold_get_cooler (TdFold *fold, const TdEntry *entry, int *index_out, GError **error)
{
  return get_place (entry, "cooler", fold->visit->site, td_site_find_cooler, index_out, error);
}

static gboolean
check_need (TdFold *fold, const TdEntry *entry, guint outlet, TdNeed need, GError **error)
{
  const TdSite *site = fold->visit->site;
  const TdOutlet *place = &site->outlets[outlet];
  const TdLine *line = &site->lines[place->line];
  g_autofree char *title = NULL;
  const char *why = NULL;

  if ((need & TD_NEED_KEG_END) && place->side >= 0)
    why = "is a side faucet and has no keg end of its own: name the line that feeds it";
  else if ((need & TD_NEED_FOB) && !line->fob)
    why = "has no FOB: correct the line, or the site's sheet";
  else if ((need & TD_NEED_LEVER) && line->beer_pump != TD_BEER_PUMP_REVERSIBLE)
    why = "has no reversible beer pump: correct the line, or the site's sheet";
  else if ((need & TD_NEED_BEER_PUMP) && line->beer_pump == TD_BEER_PUMP_NONE)
    why = "has no beer pump: correct the line, or the site's sheet";
  else if ((need & TD_NEED_MAY_RUN_IN) && !td_line_may_run_in (line))
    why = "has a one-way part and cannot run in: correct the line, or the site's sheet";
  if (why == NULL)
    return TRUE;
  title = td_outlet_get_title (site, outlet);
  td_fold_set_error (entry, TD_ERROR_IMPOSSIBLE, error, "%s %s", title, why);
  return FALSE;
}

static gboolean
add_target (TdFold *fold, const TdEntry *entry, guint outlet, TdNeed need, GError **error)
{
  if (need != TD_NEED_NOTHING && !check_need (fold, entry, outlet, need, error))
    return FALSE;
  g_array_append_val (fold->targets, outlet);
  return TRUE;
}

gboolean
td_fold_get_targets (TdFold *fold, const TdEntry *entry, TdNeed need, GError **error)
{
  const TdJson *lines = td_json_get_member (entry->body, "lines");
  const TdVisitCircuit *circuit;

  g_array_set_size (fold->targets, 0);
  fold->circuit = 0;
  if (lines != NULL)
    {
      for (guint i = 0; i < td_json_get_length (lines); i++)
        {
          const char *id = td_json_get_string (td_json_get_element (lines, i));
          int outlet = td_fold_find_outlet (fold, entry, id, error);

          if (outlet < 0 || !add_target (fold, entry, (guint)outlet, need, error))
            return FALSE;
        }
      return TRUE;
    }
  if (td_json_get_member (entry->body, "circuit") == NULL)
    return TRUE;
  circuit = td_fold_get_circuit (fold, entry, error);
  if (circuit == NULL)
    return FALSE;
  fold->circuit = circuit->number;
  for (guint i = 0; i < circuit->legs->len; i++)
    if (!add_target (fold, entry, g_array_index (circuit->legs, TdLeg, i).outlet, need, error))
      return FALSE;
  return TRUE;
}

TdVisitCircuit *
td_fold_get_circuit (TdFold *fold, const TdEntry *entry, GError **error)
{
  gint64 number = td_fold_get_integer (entry, "circuit", 0);
  GArray *circuits = fold->visit->circuits;

  for (guint i = 0; i < circuits->len; i++)
    if (g_array_index (circuits, TdVisitCircuit, i).number == number)
      return &g_array_index (circuits, TdVisitCircuit, i);
  td_fold_set_error (entry, TD_ERROR_REFERENCE, error,
                     "the adopted plan has no circuit %" G_GINT64_FORMAT
                     ": adopt a plan with it, or name the lines",
                     number);
  return NULL;
}

gboolean
td_fold_get_batch (TdFold *fold, const TdEntry *entry, guint *index_out, GError **error)
{
  const char *id = td_fold_get_text (entry, "batch");
  const GArray *batches = fold->visit->batches;

  *index_out = G_MAXUINT;
  if (id == NULL)
    return TRUE;
  for (guint i = batches->len; i-- > 0;)
    if (strcmp (g_array_index (batches, TdBatch, i).id, id) == 0)
      {
        *index_out = i;
        return TRUE;
      }
  /* A line holds what was sent in whether or not its mix was voided since. */
  if (!fold->strict)
    return TRUE;
  td_fold_set_error (entry, TD_ERROR_REFERENCE, error,
                     "no batch \"%s\" was mixed in this visit: record solution-mixed first", id);
  return FALSE;
}

TdTag *
td_fold_get_tag (TdFold *fold, const TdEntry *entry, const char *id, GError **error)
{
  GArray *tags = fold->visit->tags;

  for (guint i = tags->len; i-- > 0;)
    if (strcmp (g_array_index (tags, TdTag, i).id, id) == 0)
      return &g_array_index (tags, TdTag, i);
  td_fold_set_error (entry, TD_ERROR_IMPOSSIBLE, error,
                     "tag \"%s\" was never hung in this visit: record tag-hung first", id);
  return NULL;
}

gboolean
td_fold_get_instrument (TdFold *fold,
                        const TdEntry *entry,
                        const TdInstrument **instrument_out,
                        GError **error)
{
  const char *id = td_fold_get_text (entry, "instrument");

  *instrument_out = td_masters_find_instrument (fold->visit->masters, id);
  if (id == NULL || *instrument_out != NULL || !fold->strict)
    return TRUE;
  td_fold_set_error (entry, TD_ERROR_REFERENCE, error,
                     "the book knows no instrument \"%s\": enter it there first, or leave it out",
                     id);
  return FALSE;
}

gboolean
td_fold_get_reading (TdFold *fold,
                     const TdEntry *entry,
                     const char *key,
                     TdReading *reading_out,
                     GError **error)
{
  reading_out->stamp = td_fold_get_stamp (entry);
  reading_out->value = td_fold_get_integer (entry, key, 0);
  reading_out->known = td_fold_get_known (entry);
  return td_fold_get_instrument (fold, entry, &reading_out->instrument, error);
}
