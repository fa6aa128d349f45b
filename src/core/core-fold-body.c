/* Reading a body whose shape has been checked when it was written. */
#include <string.h>

#include "core-fold.h"

TdStamp
td_fold_get_stamp (const TdEntry *entry)
{
  return (TdStamp){ .at_ms = entry->envelope.happened.utc_ms, .seq = entry->envelope.seq };
}

const char *
td_fold_get_text (const TdEntry *entry, const char *key)
{
  const TdJson *value = td_json_get_member (entry->body, key);

  if (value == NULL || td_json_get_kind (value) != TD_JSON_STRING)
    return NULL;
  return td_json_get_string (value);
}

gint64
td_fold_get_integer (const TdEntry *entry, const char *key, gint64 missing)
{
  const TdJson *value = td_json_get_member (entry->body, key);

  if (value == NULL || td_json_get_kind (value) != TD_JSON_INTEGER)
    return missing;
  return td_json_get_integer (value);
}

gboolean
td_fold_is (const TdEntry *entry, const char *key, const char *word)
{
  return g_strcmp0 (td_fold_get_text (entry, key), word) == 0;
}

TdKnown
td_fold_get_known (const TdEntry *entry)
{
  const char *known = td_fold_get_text (entry, "known");

  /* Kinds without the field are readings of an eye or a gauge. */
  if (known == NULL || strcmp (known, "measured") == 0)
    return TD_KNOWN_MEASURED;
  return strcmp (known, "accepted") == 0 ? TD_KNOWN_ACCEPTED : TD_KNOWN_ESTIMATED;
}

void
td_fold_keep_earliest (TdStamp *stamp, const TdEntry *entry)
{
  TdStamp other = td_fold_get_stamp (entry);

  if (stamp->seq == 0 || td_stamp_compare (other, *stamp) < 0)
    *stamp = other;
}

void
td_fold_keep_latest (TdStamp *stamp, const TdEntry *entry)
{
  TdStamp other = td_fold_get_stamp (entry);

  if (stamp->seq == 0 || td_stamp_compare (other, *stamp) > 0)
    *stamp = other;
}

void
td_fold_keep_latest_reading (TdReading *reading, const TdReading *other)
{
  if (reading->stamp.seq == 0 || td_stamp_compare (other->stamp, reading->stamp) > 0)
    *reading = *other;
}

void
td_fold_insert_switch (GArray *switches, const TdEntry *entry, gboolean on)
{
  TdSwitch act = { .stamp = td_fold_get_stamp (entry), .on = on };
  guint at = switches->len;

  while (at > 0
         && td_stamp_compare (g_array_index (switches, TdSwitch, at - 1).stamp, act.stamp) > 0)
    at--;
  g_array_insert_val (switches, at, act);
}
