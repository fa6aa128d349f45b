/* Arriving: who, where, what was found, who was told, what is to be cleaned. */
#include <string.h>

#include "core-error.h"
#include "core-fold.h"

gboolean
td_fold_arrival (TdFold *fold, const TdEntry *entry, GError **error)
{
  TdVisit *visit = fold->visit;
  const char *amends = td_fold_get_text (entry, "amends");

  if (visit->arrival.seq != 0)
    {
      td_fold_set_error (
          entry, TD_ERROR_IMPOSSIBLE, error,
          "this visit has its arrival already (entry %u): correct that one, or start another visit",
          visit->arrival.seq);
      return FALSE;
    }
  if (amends != NULL && !td_uuid_parse (amends, &visit->amends, error))
    return FALSE;
  visit->amends_other = amends != NULL;
  visit->arrival = td_fold_get_stamp (entry);
  visit->arrived = entry->envelope.happened;
  visit->site_id = td_fold_get_text (entry, "site");
  visit->work = td_fold_get_text (entry, "work");
  visit->out_of_hours = td_fold_get_text (entry, "out_of_hours");
  visit->sds_at_hand = td_fold_get_text (entry, "sds_at_hand");
  return TRUE;
}

gboolean
td_fold_as_found (TdFold *fold, const TdEntry *entry, GError **error)
{
  TdStamp stamp = td_fold_get_stamp (entry);
  gboolean inward = td_fold_is (entry, "lever", "in");

  if (!td_fold_get_targets (fold, entry, inward ? TD_NEED_LEVER : TD_NEED_NOTHING, error))
    return FALSE;
  for (guint i = 0; i < fold->targets->len; i++)
    {
      TdVisitLine *line = &fold->visit->lines[g_array_index (fold->targets, guint, i)];
      const struct
      {
        const char *key;
        TdReading *reading;
      } readings[] = {
        { "pressure_pa", &line->found_pressure },
        { "temperature_c_milli", &line->found_temperature },
      };
      const struct
      {
        const char *key;
        const char **text;
      } texts[] = {
        { "lever", &line->found_lever },
        { "keg", &line->found_keg },
        { "gas", &line->found_gas },
      };

      td_fold_keep_latest (&line->found, entry);
      for (gsize k = 0; k < G_N_ELEMENTS (readings); k++)
        if (td_json_get_member (entry->body, readings[k].key) != NULL)
          *readings[k].reading = (TdReading){
            .stamp = stamp,
            .value = td_fold_get_integer (entry, readings[k].key, 0),
            .known = TD_KNOWN_MEASURED,
          };
      for (gsize k = 0; k < G_N_ELEMENTS (texts); k++)
        if (td_json_get_member (entry->body, texts[k].key) != NULL)
          *texts[k].text = td_fold_get_text (entry, texts[k].key);
    }
  return TRUE;
}

gboolean
td_fold_staff_told (TdFold *fold, const TdEntry *entry, GError **error)
{
  TdCheck told = { .stamp = td_fold_get_stamp (entry), .co2_ppm = -1 };
  int tower;

  if (!td_fold_get_tower (fold, entry, &tower, error))
    return FALSE;
  told.place = (guint)tower;
  told.name = td_fold_get_text (entry, "name");
  g_array_append_val (fold->visit->staff, told);
  return TRUE;
}

gboolean
td_fold_cold_room (TdFold *fold, const TdEntry *entry, GError **error)
{
  TdCheck room = { .stamp = td_fold_get_stamp (entry) };
  int cooler;

  if (!td_fold_get_cooler (fold, entry, &cooler, error))
    return FALSE;
  room.place = (guint)cooler;
  room.co2 = td_fold_get_text (entry, "co2");
  room.co2_ppm = td_fold_get_integer (entry, "co2_ppm", -1);
  room.access = td_fold_get_text (entry, "access");
  room.text = td_fold_get_text (entry, "text");
  g_array_append_val (fold->visit->rooms, room);
  return TRUE;
}

/* Scopes add up: a line leaves the scope by line-left-out with a reason, or by a correction. */
gboolean
td_fold_scope (TdFold *fold, const TdEntry *entry, GError **error)
{
  TdClean clean = td_fold_is (entry, "clean", "acid") ? TD_CLEAN_ACID : TD_CLEAN_CAUSTIC;

  if (!td_fold_get_targets (fold, entry, TD_NEED_NOTHING, error))
    return FALSE;
  for (guint i = 0; i < fold->targets->len; i++)
    fold->visit->lines[g_array_index (fold->targets, guint, i)].in_scope[clean] = TRUE;
  return TRUE;
}
