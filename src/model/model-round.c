#include "model-round.h"

#include <string.h>

TdRound *
td_round_new (const TdRound *template_)
{
  TdRound *round = g_atomic_rc_box_new0 (TdRound);
  g_autofree char *text = NULL;

  *round = *template_;
  round->site_id = g_strdup (template_->site_id);
  round->site = g_strdup (template_->site);
  round->account = g_strdup (template_->account);
  round->address = g_strdup (template_->address);
  round->task = g_strdup (template_->task);
  round->reason = g_strdup (template_->reason);
  text = g_strjoin ("\n", template_->site, template_->account,
                    template_->address != NULL ? template_->address : "", NULL);
  round->folded = g_utf8_casefold (text, -1);
  return round;
}

TdRound *
td_round_ref (TdRound *round)
{
  return g_atomic_rc_box_acquire (round);
}

static void
clear_round (gpointer data)
{
  TdRound *round = data;

  g_free (round->site_id);
  g_free (round->site);
  g_free (round->account);
  g_free (round->address);
  g_free (round->task);
  g_free (round->reason);
  g_free (round->folded);
}

void
td_round_unref (TdRound *round)
{
  g_atomic_rc_box_release_full (round, clear_round);
}

TdRoundState
td_round_get_state (const TdRound *round)
{
  if (round->open)
    return TD_ROUND_OPEN;
  if (round->due == TD_DATE_NONE)
    return TD_ROUND_UNKNOWN;
  if (round->days < 0)
    return TD_ROUND_OVERDUE;
  if (round->days == 0)
    return TD_ROUND_TODAY;
  return round->days <= TD_ROUND_SOON_DAYS ? TD_ROUND_SOON : TD_ROUND_LATER;
}

int
td_round_compare (const TdRound *a, const TdRound *b)
{
  TdRoundState state_a = td_round_get_state (a), state_b = td_round_get_state (b);
  int order;

  if (state_a != state_b)
    return state_a < state_b ? -1 : 1;
  if (a->due != b->due && a->due != TD_DATE_NONE && b->due != TD_DATE_NONE)
    return a->due < b->due ? -1 : 1;
  order = g_strcmp0 (a->account, b->account);
  if (order == 0)
    order = g_strcmp0 (a->site, b->site);
  if (order == 0)
    order = g_strcmp0 (a->site_id, b->site_id);
  return order;
}

char **
td_round_fold_search (const char *search)
{
  g_autofree char *folded = g_utf8_casefold (search != NULL ? search : "", -1);
  char **words = g_strsplit (folded, " ", -1);
  guint kept = 0;

  for (guint i = 0; words[i] != NULL; i++)
    if (*words[i] != '\0')
      words[kept++] = words[i];
    else
      g_free (words[i]);
  words[kept] = NULL;
  return words;
}

gboolean
td_round_matches (const TdRound *round, char *const *words)
{
  for (guint i = 0; words[i] != NULL; i++)
    if (strstr (round->folded, words[i]) == NULL)
      return FALSE;
  return TRUE;
}

struct _TdRoundItem
{
  TdRow parent;
};

G_DEFINE_FINAL_TYPE (TdRoundItem, td_round_item, TD_TYPE_ROW)

enum
{
  PROP_0,
  PROP_SITE_ID,
  PROP_SITE,
  PROP_ACCOUNT,
  PROP_ADDRESS,
  PROP_TASK,
  PROP_LINES,
  PROP_STATE,
  PROP_DAYS,
  PROP_DUE,
  PROP_LAST,
  PROP_VISIT,
  PROP_MISSED,
  PROP_MOVED_TO,
  PROP_REASON,
  N_PROPS
};

static GParamSpec *properties[N_PROPS];

static void
get_loaded (const TdRound *round, guint id, GValue *value, GObject *object, GParamSpec *pspec)
{
  switch (id)
    {
    case PROP_SITE_ID:
      g_value_set_string (value, round->site_id);
      break;
    case PROP_SITE:
      g_value_set_string (value, round->site);
      break;
    case PROP_ACCOUNT:
      g_value_set_string (value, round->account);
      break;
    case PROP_ADDRESS:
      g_value_set_string (value, round->address);
      break;
    case PROP_TASK:
      g_value_set_string (value, round->task);
      break;
    case PROP_LINES:
      g_value_set_uint (value, round->lines);
      break;
    case PROP_STATE:
      g_value_set_int (value, (int) td_round_get_state (round));
      break;
    case PROP_DAYS:
      g_value_set_int (value, round->days);
      break;
    case PROP_DUE:
      g_value_set_int (value, round->due);
      break;
    case PROP_LAST:
      g_value_set_int (value, round->last);
      break;
    case PROP_VISIT:
      g_value_take_string (value, round->open ? td_uuid_to_text (&round->open_visit) : NULL);
      break;
    case PROP_MISSED:
      g_value_set_uint (value, round->missed);
      break;
    case PROP_MOVED_TO:
      g_value_set_int (value, round->moved ? round->moved_to : TD_DATE_NONE);
      break;
    case PROP_REASON:
      g_value_set_string (value, round->reason);
      break;
    default:
      G_OBJECT_WARN_INVALID_PROPERTY_ID (object, id, pspec);
    }
}

static void
td_round_item_get_property (GObject *object, guint id, GValue *value, GParamSpec *pspec)
{
  const TdRound *round = td_row_get_value (TD_ROW (object));

  if (round != NULL)
    get_loaded (round, id, value, object, pspec);
  else
    g_param_value_set_default (pspec, value);
}

static void
td_round_item_class_init (TdRoundItemClass *klass)
{
  TdRowClass *item_class = TD_ROW_CLASS (klass);
  const GParamFlags flags = G_PARAM_READABLE | G_PARAM_STATIC_STRINGS;

  G_OBJECT_CLASS (klass)->get_property = td_round_item_get_property;
  item_class->ref_value = (gpointer (*) (gpointer)) td_round_ref;
  item_class->unref_value = (void (*) (gpointer)) td_round_unref;
  properties[PROP_SITE_ID] = g_param_spec_string ("site-id", NULL, NULL, NULL, flags);
  properties[PROP_SITE] = g_param_spec_string ("site", NULL, NULL, NULL, flags);
  properties[PROP_ACCOUNT] = g_param_spec_string ("account", NULL, NULL, NULL, flags);
  properties[PROP_ADDRESS] = g_param_spec_string ("address", NULL, NULL, NULL, flags);
  properties[PROP_TASK] = g_param_spec_string ("task", NULL, NULL, NULL, flags);
  properties[PROP_LINES] = g_param_spec_uint ("lines", NULL, NULL, 0, G_MAXUINT, 0, flags);
  properties[PROP_STATE]
    = g_param_spec_int ("state", NULL, NULL, TD_ROUND_OPEN, TD_ROUND_UNKNOWN, TD_ROUND_UNKNOWN, flags);
  properties[PROP_DAYS] = g_param_spec_int ("days", NULL, NULL, G_MININT, G_MAXINT, 0, flags);
  properties[PROP_DUE] = g_param_spec_int ("due", NULL, NULL, G_MININT, G_MAXINT, TD_DATE_NONE, flags);
  properties[PROP_LAST] = g_param_spec_int ("last", NULL, NULL, G_MININT, G_MAXINT, TD_DATE_NONE, flags);
  properties[PROP_VISIT] = g_param_spec_string ("visit", NULL, NULL, NULL, flags);
  properties[PROP_MISSED] = g_param_spec_uint ("missed", NULL, NULL, 0, G_MAXUINT, 0, flags);
  properties[PROP_MOVED_TO]
    = g_param_spec_int ("moved-to", NULL, NULL, G_MININT, G_MAXINT, TD_DATE_NONE, flags);
  properties[PROP_REASON] = g_param_spec_string ("reason", NULL, NULL, NULL, flags);
  td_row_class_install (item_class, properties, N_PROPS);
}

static void
td_round_item_init (TdRoundItem *self)
{
}
