/* Whether a plan can be run at the site at all: the conditions of a closed walk, not whether it is
 * good. The shape of the plan has been checked with the body that carries it.
 *
 * Towers and coolers are nodes; a line run out is an arc from its cooler to its tower, run in the
 * other way.  Legs in order of flow are one circuit if each begins where the one before it ended,
 * the first where the last ended, and the pump stands there. */
#include <string.h>

#include "core-error.h"
#include "core-fold.h"

typedef struct
{
  const TdSite *site;
  int number; /* circuit in hand */
} Checker;

/* A node: coolers first, then towers. */
static guint
get_tower_node (const TdSite *site, guint tower)
{
  return site->n_coolers + tower;
}

static const char *
get_node_name (const TdSite *site, guint node)
{
  return node < site->n_coolers ? site->coolers[node].name
                                : site->towers[node - site->n_coolers].name;
}

static const char *
get_text (const TdJson *object, const char *key)
{
  return td_json_get_string (td_json_get_member (object, key));
}

static int
find_outlet (const Checker *checker, const TdJson *object, GError **error)
{
  const char *id = get_text (object, "line");
  int outlet = td_site_find_outlet (checker->site, id);

  if (outlet < 0)
    g_set_error (error, TD_ERROR, TD_ERROR_REFERENCE,
                 "plan: no line of this site has the id \"%s\": use an id of the site's sheet", id);
  return outlet;
}

static gboolean
check_leg_line (const TdLine *line, gboolean in, gboolean reversal, GError **error)
{
  gboolean reversible = line->beer_pump == TD_BEER_PUMP_REVERSIBLE;

  if (in && !td_line_may_run_in (line))
    g_set_error (error, TD_ERROR, TD_ERROR_IMPOSSIBLE,
                 "plan: line \"%s\" has a one-way part and cannot run in", line->id);
  else if (in && reversible && !reversal)
    g_set_error (error, TD_ERROR, TD_ERROR_IMPOSSIBLE,
                 "plan: line \"%s\" runs in, so its beer pump needs the reversal", line->id);
  else if (reversal && !(in && reversible))
    g_set_error (
        error, TD_ERROR, TD_ERROR_IMPOSSIBLE,
        "plan: line \"%s\" has no reversal: only a reversible beer pump in a line that runs in has",
        line->id);
  else
    return TRUE;
  return FALSE;
}

/* Puts the leg's nodes into *@from_out and *@to_out. */
static gboolean
check_leg (Checker *checker, const TdJson *leg, guint *from_out, guint *to_out, GError **error)
{
  gboolean in = strcmp (get_text (leg, "direction"), "in") == 0;
  gboolean reversal = strcmp (get_text (leg, "reversal"), "yes") == 0;
  int outlet = find_outlet (checker, leg, error);
  const TdOutlet *place;

  if (outlet < 0)
    return FALSE;
  place = &checker->site->outlets[outlet];
  if (place->side >= 0)
    {
      g_set_error (error, TD_ERROR, TD_ERROR_IMPOSSIBLE,
                   "plan: \"%s\" is a side faucet and can only be cleaned static", place->id);
      return FALSE;
    }
  if (!check_leg_line (&checker->site->lines[place->line], in, reversal, error))
    return FALSE;
  *from_out = in ? get_tower_node (checker->site, place->tower) : place->cooler;
  *to_out = in ? place->cooler : get_tower_node (checker->site, place->tower);
  return TRUE;
}

static gboolean
check_balance (const Checker *checker, const int *balance, GError **error)
{
  const TdSite *site = checker->site;

  for (guint node = 0; node < site->n_coolers + site->n_towers; node++)
    if (balance[node] != 0)
      {
        g_set_error (error, TD_ERROR, TD_ERROR_IMPOSSIBLE,
                     "plan: circuit %d is not closed: at %s as many lines must run in as out",
                     checker->number, get_node_name (site, node));
        return FALSE;
      }
  return TRUE;
}

static gboolean
check_walk (Checker *checker, const TdJson *legs, guint station, GError **error)
{
  const TdSite *site = checker->site;
  guint n_legs = td_json_get_length (legs);
  g_autofree int *balance = g_new0 (int, site->n_coolers + site->n_towers);
  guint at = station;
  guint gap = 0; /* the first leg that does not begin where the flow has come, from 1 */

  for (guint i = 0; i < n_legs; i++)
    {
      guint from, to;

      if (!check_leg (checker, td_json_get_element (legs, i), &from, &to, error))
        return FALSE;
      if (from != at && gap == 0)
        gap = i + 1;
      balance[from]--;
      balance[to]++;
      at = to;
    }
  if (!check_balance (checker, balance, error))
    return FALSE;
  if (gap == 0)
    return TRUE;
  g_set_error (
      error, TD_ERROR, TD_ERROR_IMPOSSIBLE,
      "plan: circuit %d: leg %u does not begin where %s; give the legs in order of flow from %s",
      checker->number, gap, gap == 1 ? "the pump stands" : "the one before it ends",
      get_node_name (site, station));
  return FALSE;
}

static gboolean
check_circuit (Checker *checker, const TdJson *circuit, GError **error)
{
  const char *station = get_text (circuit, "station");
  int tower, cooler;

  checker->number = (int)td_json_get_integer (td_json_get_member (circuit, "number"));
  tower = td_site_find_tower (checker->site, station);
  cooler = td_site_find_cooler (checker->site, station);
  if (tower < 0 && cooler < 0)
    {
      g_set_error (error, TD_ERROR, TD_ERROR_REFERENCE,
                   "plan: no tower or cooler of this site has the id \"%s\"", station);
      return FALSE;
    }
  return check_walk (checker, td_json_get_member (circuit, "legs"),
                     tower >= 0 ? get_tower_node (checker->site, (guint)tower) : (guint)cooler,
                     error);
}

static gboolean
touches_cooler (const TdSite *site, const TdJson *circuits, int number, guint cooler)
{
  for (guint i = 0; i < td_json_get_length (circuits); i++)
    {
      const TdJson *circuit = td_json_get_element (circuits, i);
      const TdJson *legs = td_json_get_member (circuit, "legs");

      if (td_json_get_integer (td_json_get_member (circuit, "number")) != number)
        continue;
      for (guint k = 0; k < td_json_get_length (legs); k++)
        {
          int outlet = td_site_find_outlet (site, get_text (td_json_get_element (legs, k), "line"));

          if (site->outlets[outlet].cooler == cooler)
            return TRUE;
        }
    }
  return FALSE;
}

static gboolean
check_static (Checker *checker, const TdJson *item, const TdJson *circuits, GError **error)
{
  const TdJson *fed_by = td_json_get_member (item, "fed_by");
  int outlet = find_outlet (checker, item, error);
  const char *cooler;
  guint own;

  if (outlet < 0)
    return FALSE;
  own = checker->site->outlets[outlet].cooler;
  cooler = get_text (item, "cooler");
  if (g_strcmp0 (cooler, checker->site->coolers[own].id) != 0)
    {
      g_set_error (error, TD_ERROR, TD_ERROR_IMPOSSIBLE,
                   "plan: the static line \"%s\" starts at cooler \"%s\"",
                   checker->site->outlets[outlet].id, checker->site->coolers[own].id);
      return FALSE;
    }
  if (fed_by == NULL
      || touches_cooler (checker->site, circuits, (int)td_json_get_integer (fed_by), own))
    return TRUE;
  g_set_error (error, TD_ERROR, TD_ERROR_IMPOSSIBLE,
               "plan: \"%s\" cannot be fed by circuit %" G_GINT64_FORMAT
               ", which does not touch %s",
               checker->site->outlets[outlet].id, td_json_get_integer (fed_by),
               checker->site->coolers[own].name);
  return FALSE;
}

gboolean
td_plan_is_possible (const TdSite *site, const TdJson *plan, GError **error)
{
  const TdJson *circuits = td_json_get_member (plan, "circuits");
  const TdJson *statics = td_json_get_member (plan, "static");
  Checker checker = { .site = site };

  for (guint i = 0; i < td_json_get_length (circuits); i++)
    if (!check_circuit (&checker, td_json_get_element (circuits, i), error))
      return FALSE;
  for (guint i = 0; i < td_json_get_length (statics); i++)
    if (!check_static (&checker, td_json_get_element (statics, i), circuits, error))
      return FALSE;
  return TRUE;
}
