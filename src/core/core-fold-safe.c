/* Making safe: tags and their life, gas, cooling, protection, ends. */
#include <string.h>

#include "core-error.h"
#include "core-fold.h"

static gboolean
check_free (TdFold *fold, const TdEntry *entry, const char *id, GError **error)
{
  const GArray *tags = fold->visit->tags;

  for (guint i = tags->len; i-- > 0;)
    {
      const TdTag *tag = &g_array_index (tags, TdTag, i);

      /* The same tag may hang again elsewhere once it was removed: a life of its own. */
      if (strcmp (tag->id, id) != 0 || tag->removed.seq != 0)
        continue;
      td_fold_set_error (
          entry, TD_ERROR_IMPOSSIBLE, error,
          "tag \"%s\" hangs already since entry %u: record tag-removed first, or use another tag",
          id, tag->hung.seq);
      return FALSE;
    }
  return TRUE;
}

gboolean
td_fold_tag_hung (TdFold *fold, const TdEntry *entry, GError **error)
{
  TdTag tag = { .id = td_fold_get_text (entry, "tag"), .hung = td_fold_get_stamp (entry) };

  if (!td_fold_get_outlet (fold, entry, "line", &tag.outlet, error)
      || !check_free (fold, entry, tag.id, error))
    return FALSE;
  tag.kind = td_fold_get_text (entry, "tag_kind");
  tag.at = td_fold_get_text (entry, "at");
  tag.place = td_fold_get_text (entry, "place");
  tag.legend = td_fold_get_text (entry, "legend");
  tag.hung_by = tag.owner = entry->envelope.person;
  tag.lifts = g_array_new (FALSE, TRUE, sizeof (TdTagLift));
  g_array_append_val (fold->visit->tags, tag);
  return TRUE;
}

static TdTag *
get_hanging_tag (TdFold *fold, const TdEntry *entry, GError **error)
{
  const char *id = td_fold_get_text (entry, "tag");
  TdTag *tag = td_fold_get_tag (fold, entry, id, error);

  if (tag == NULL || tag->removed.seq == 0)
    return tag;
  td_fold_set_error (entry, TD_ERROR_IMPOSSIBLE, error, "tag \"%s\" was removed by entry %u", id,
                     tag->removed.seq);
  return NULL;
}

static TdTagLift *
get_open_lift (TdTag *tag)
{
  TdTagLift *lift;

  if (tag->lifts->len == 0)
    return NULL;
  lift = &g_array_index (tag->lifts, TdTagLift, tag->lifts->len - 1);
  return lift->again.seq == 0 ? lift : NULL;
}

gboolean
td_fold_tag_lifted (TdFold *fold, const TdEntry *entry, GError **error)
{
  TdTagLift lift = { .lifted = td_fold_get_stamp (entry), .lifted_by = entry->envelope.person };
  TdTag *tag = get_hanging_tag (fold, entry, error);

  if (tag == NULL)
    return FALSE;
  if (get_open_lift (tag) != NULL)
    {
      td_fold_set_error (entry, TD_ERROR_IMPOSSIBLE, error,
                         "tag \"%s\" is lifted since entry %u: record tag-hung-again first",
                         tag->id, get_open_lift (tag)->lifted.seq);
      return FALSE;
    }
  lift.owner = tag->owner;
  g_array_append_val (tag->lifts, lift);
  return TRUE;
}

gboolean
td_fold_tag_hung_again (TdFold *fold, const TdEntry *entry, GError **error)
{
  TdTag *tag = get_hanging_tag (fold, entry, error);
  TdTagLift *lift;

  if (tag == NULL)
    return FALSE;
  lift = get_open_lift (tag);
  if (lift == NULL)
    {
      td_fold_set_error (entry, TD_ERROR_IMPOSSIBLE, error,
                         "tag \"%s\" hangs and was not lifted: record tag-lifted first", tag->id);
      return FALSE;
    }
  lift->again = td_fold_get_stamp (entry);
  return TRUE;
}

gboolean
td_fold_tag_removed (TdFold *fold, const TdEntry *entry, GError **error)
{
  TdTag *tag = get_hanging_tag (fold, entry, error);

  if (tag == NULL)
    return FALSE;
  tag->removed = td_fold_get_stamp (entry);
  tag->removed_by = entry->envelope.person;
  /* 29 CFR 1910.147 (e)(3): verified that the owner is not there, tried to reach, told before
   * return. */
  tag->employer_procedure = td_fold_is (entry, "absent_verified", "yes")
                            && td_fold_is (entry, "contact_tried", "yes")
                            && td_fold_is (entry, "told_before_return", "yes");
  return TRUE;
}

static TdTag *
get_own_tag (TdFold *fold, const TdEntry *entry, const char *id, GError **error)
{
  TdTag *tag = td_fold_get_tag (fold, entry, id, error);

  if (tag == NULL)
    return NULL;
  if (tag->removed.seq != 0)
    {
      td_fold_set_error (entry, TD_ERROR_IMPOSSIBLE, error, "tag \"%s\" was removed by entry %u",
                         id, tag->removed.seq);
      return NULL;
    }
  if (strcmp (tag->owner, entry->envelope.person) != 0)
    {
      td_fold_set_error (entry, TD_ERROR_IMPOSSIBLE, error,
                         "tag \"%s\" is %s's, not %s's to hand over", id,
                         td_visit_get_person_name (fold->visit, tag->owner),
                         td_visit_get_person_name (fold->visit, entry->envelope.person));
      return NULL;
    }
  return tag;
}

gboolean
td_fold_hand_over (TdFold *fold, const TdEntry *entry, GError **error)
{
  const TdJson *ids = td_json_get_member (entry->body, "tags");
  const char *to = td_fold_get_text (entry, "to");
  guint n_ids = ids != NULL ? td_json_get_length (ids) : 0;
  GArray *tags = fold->visit->tags;

  for (guint i = 0; i < n_ids; i++)
    if (get_own_tag (fold, entry, td_json_get_string (td_json_get_element (ids, i)), error) == NULL)
      return FALSE;
  for (guint i = 0; i < n_ids; i++)
    td_fold_get_tag (fold, entry, td_json_get_string (td_json_get_element (ids, i)), NULL)->owner
        = to;
  for (guint i = 0; ids == NULL && i < tags->len; i++)
    {
      TdTag *tag = &g_array_index (tags, TdTag, i);

      if (tag->removed.seq == 0 && strcmp (tag->owner, entry->envelope.person) == 0)
        tag->owner = to;
    }
  return TRUE;
}

gboolean
td_fold_gas (TdFold *fold, const TdEntry *entry, GError **error)
{
  gboolean pump = td_fold_is (entry, "gas", "beer-pump");
  gboolean on = entry->envelope.kind == TD_KIND_GAS_ON;

  if (!td_fold_get_targets (fold, entry, TD_NEED_KEG_END | (pump ? TD_NEED_BEER_PUMP : 0), error))
    return FALSE;
  for (guint i = 0; i < fold->targets->len; i++)
    {
      TdVisitLine *line = &fold->visit->lines[g_array_index (fold->targets, guint, i)];
      GArray *switches = line->gas[pump ? 0 : 1];

      td_fold_insert_switch (switches, entry, on);
      line->gas_off_now[pump ? 0 : 1] = !g_array_index (switches, TdSwitch, switches->len - 1).on;
    }
  return TRUE;
}

gboolean
td_fold_cooling (TdFold *fold, const TdEntry *entry, GError **error)
{
  TdCooling cooling
      = { .stamp = td_fold_get_stamp (entry), .place = td_fold_get_text (entry, "place") };

  if (td_site_find_cooler (fold->visit->site, cooling.place) < 0
      && td_site_find_tower (fold->visit->site, cooling.place) < 0)
    {
      td_fold_set_error (
          entry, TD_ERROR_REFERENCE, error,
          "no cooler or tower of this site has the id \"%s\": use an id of the site's sheet",
          cooling.place);
      return FALSE;
    }
  cooling.on = entry->envelope.kind == TD_KIND_COOLING_ON;
  g_array_append_val (fold->visit->cooling, cooling);
  return TRUE;
}

gboolean
td_fold_protection (TdFold *fold, const TdEntry *entry, GError **error)
{
  TdProtection protection = {
    .stamp = td_fold_get_stamp (entry),
    .person = entry->envelope.person,
    .eyes = td_fold_is (entry, "eyes", "yes"),
    .gloves = td_fold_is (entry, "gloves", "yes"),
    .apron = td_fold_is (entry, "apron", "yes"),
  };

  g_array_append_val (fold->visit->protection, protection);
  return TRUE;
}

gboolean
td_fold_ends (TdFold *fold, const TdEntry *entry, GError **error)
{
  gboolean keg = td_fold_is (entry, "ends", "keg");
  gboolean joined = entry->envelope.kind == TD_KIND_ENDS_JOINED;

  if (!td_fold_get_targets (fold, entry, keg ? TD_NEED_KEG_END : TD_NEED_NOTHING, error))
    return FALSE;
  for (guint i = 0; i < fold->targets->len; i++)
    {
      TdVisitLine *line = &fold->visit->lines[g_array_index (fold->targets, guint, i)];

      if (keg)
        td_fold_keep_latest (joined ? &line->joined_keg : &line->parted_keg, entry);
      else
        td_fold_keep_latest (joined ? &line->joined_faucet : &line->parted_faucet, entry);
    }
  return TRUE;
}
