#include "demo-book.h"

#include "core-plan-make.h"
#include "demo-company.h"
#include "demo-resources.h"
#include "demo-visit.h"
#include "store-agreement.h"
#include "store-journal.h"
#include "store-master.h"

#include <gio/gio.h>
#include <glib/gstdio.h>
#include <stdlib.h>
#include <string.h>

#define FOLDER "/com/example/Tundish/demo"
#define DAY_MS G_GINT64_CONSTANT (86400000)

/* Generated visits reach so many fortnights back and no further; more of them fall on the same days. */
#define MOST_CYCLES 130
#define CYCLE_DAYS 14
#define FIRST_GENERATED_DAYS 41
/* The oldest visit of the story, and room for the days that generated visits are scattered by. */
#define MARGIN_DAYS 60

/* A site of the demonstration, with what a visit to it needs. */
typedef struct
{
  char *id;
  TdSite *site;
  TdZone *zone;
} DemoSite;

typedef struct
{
  TdBook *book;
  TdMasters *masters;
  GPtrArray *sites; /* DemoSite */
  gint64 now_ms;
} Demo;

/* One planned visit: which site, how many days before now, and in what way. */
typedef struct
{
  guint site;
  int days_ago;
  int start_min; /* minutes after midnight at the site */
  TdDemoVisit shape;
  guint order;
} Appointment;

const char *
td_demo_get_fault_text (void)
{
  return "Faucet collar of line A1 worn through on the left side; weeps when the handle is pushed back";
}

static void
demo_site_free (gpointer data)
{
  DemoSite *site = data;

  g_free (site->id);
  td_site_unref (site->site);
  td_zone_unref (site->zone);
  g_free (site);
}

static GBytes *
read_bytes (const char *name, GError **error)
{
  g_autofree char *path = g_strdup_printf (FOLDER "/%s", name);

  return g_resource_lookup_data (demo_get_resource (), path, G_RESOURCE_LOOKUP_FLAGS_NONE, error);
}

static TdJson *
read_resource (const char *name, GError **error)
{
  g_autoptr (GBytes) bytes = read_bytes (name, error);
  gsize length = 0;
  const char *text;

  if (bytes == NULL)
    return NULL;
  text = g_bytes_get_data (bytes, &length);
  return td_json_parse (text, (gssize) length, error);
}

static gboolean
take_site (Demo *demo, const char *name, GError **error)
{
  g_autoptr (TdJson) json = read_resource (name, error);
  g_autoptr (TdSite) site = json != NULL ? td_site_from_json (json, error) : NULL;
  g_autoptr (TdZone) zone = site != NULL ? td_zone_load (site->zone, error) : NULL;
  TdSiteImport import = { 0 };
  DemoSite *row;

  if (zone == NULL || !td_book_import_site (demo->book, site, &import, error))
    return FALSE;
  row = g_new0 (DemoSite, 1);
  row->id = g_strdup (import.site_id);
  row->site = g_steal_pointer (&site);
  row->zone = g_steal_pointer (&zone);
  g_ptr_array_add (demo->sites, row);
  td_site_import_clear (&import);
  return TRUE;
}

static gint
compare_names (gconstpointer a, gconstpointer b)
{
  return strcmp (*(const char *const *) a, *(const char *const *) b);
}

/* The company as it stands at the demonstration's moment, with the lots of all its past. */
static TdMasters *
read_company (const Demo *demo, guint n_cycles, GError **error)
{
  g_autoptr (GBytes) bytes = read_bytes ("company.json", error);
  g_autoptr (TdJson) json = NULL;
  g_autofree char *text = NULL;
  TdDate today = (TdDate) (demo->now_ms / DAY_MS);
  TdDate oldest = today - MARGIN_DAYS - CYCLE_DAYS * (TdDate) MIN (n_cycles, MOST_CYCLES);
  TdMoment written = { 0 };
  gsize length = 0;

  if (bytes == NULL || !td_moment_parse (TD_DEMO_NOW, &written, error))
    return NULL;
  text = g_bytes_get_data (bytes, &length) != NULL
           ? td_demo_company_move (g_bytes_get_data (bytes, NULL), (gssize) length,
                                   today - (TdDate) (written.utc_ms / DAY_MS), oldest, error)
           : NULL;
  json = text != NULL ? td_json_parse (text, -1, error) : NULL;
  return json != NULL ? td_masters_from_json (json, error) : NULL;
}

static guint
count_sites (char **names)
{
  guint n = 0;

  for (guint i = 0; names[i] != NULL; i++)
    n += g_str_has_suffix (names[i], ".site.json");
  return n;
}

static gboolean
take_agreement (Demo *demo, const char *name, GError **error)
{
  g_autoptr (TdJson) json = read_resource (name, error);

  return json != NULL && td_book_import_agreement (demo->book, json, NULL, error);
}

/* Company first, then the sites in the order of their files' names, then the agreements of their accounts. */
static gboolean
take_files (Demo *demo, guint n_more, GError **error)
{
  g_auto (GStrv) names =
    g_resource_enumerate_children (demo_get_resource (), FOLDER, G_RESOURCE_LOOKUP_FLAGS_NONE, error);
  g_autoptr (TdMasters) masters = NULL;

  if (names == NULL)
    return FALSE;
  masters = read_company (demo, n_more / MAX (count_sites (names), 1) + 1, error);
  if (masters == NULL || !td_book_import_company (demo->book, masters, NULL, error))
    return FALSE;
  qsort (names, g_strv_length (names), sizeof *names, compare_names);
  for (guint i = 0; names[i] != NULL; i++)
    if (g_str_has_suffix (names[i], ".site.json") && !take_site (demo, names[i], error))
      return FALSE;
  for (guint i = 0; names[i] != NULL; i++)
    if (g_str_has_suffix (names[i], ".agreement.json") && !take_agreement (demo, names[i], error))
      return FALSE;
  demo->masters = td_book_get_masters (demo->book, error);
  return demo->masters != NULL;
}

/* The site whose plan turns most levers: where a pump left reversed would be missed most. */
static guint
find_most_reversals (const Demo *demo)
{
  guint found = 0;
  guint most = 0;

  for (guint i = 0; i < demo->sites->len; i++)
    {
      const DemoSite *site = g_ptr_array_index (demo->sites, i);
      g_autoptr (TdPlan) plan = td_plan_make (site->site, NULL, NULL);

      if (plan != NULL && plan->reversals > most)
        {
          found = i;
          most = plan->reversals;
        }
    }
  return found;
}

static void
appoint (GArray *appointments, guint site, int days_ago, int start_min, TdDemoStage until, gboolean short_contact,
         gboolean late, gboolean acid, const char *fault)
{
  Appointment row = { .site = site, .days_ago = days_ago, .start_min = start_min, .order = appointments->len };

  row.shape.until = until;
  row.shape.short_contact = short_contact;
  row.shape.late = late;
  row.shape.acid = acid;
  row.shape.fault_text = fault;
  g_array_append_val (appointments, row);
}

/* What stands in every demonstration book: the site with the most reversals was visited thirteen days ago
 * and a fault was found, another site's visit is going on, and the first of the rest is overdue. */
static void
appoint_story (const Demo *demo, GArray *appointments)
{
  guint n = demo->sites->len;
  guint reversal = find_most_reversals (demo);
  guint open = reversal == n - 1 ? n - 2 : n - 1;
  gboolean overdue = FALSE;

  for (guint i = 0; i < n; i++)
    {
      int start = 6 * 60 + (int) (i % 4) * 45;

      if (i == reversal)
        {
          appoint (appointments, i, 27, start, TD_DEMO_SIGN, FALSE, FALSE, TRUE, NULL);
          appoint (appointments, i, 13, start, TD_DEMO_SIGN, FALSE, FALSE, FALSE, td_demo_get_fault_text ());
        }
      else if (i == open)
        {
          appoint (appointments, i, 14, start, TD_DEMO_SIGN, FALSE, TRUE, FALSE, NULL);
          appoint (appointments, i, 0, 11 * 60 + 10, TD_DEMO_CONTACT, FALSE, FALSE, FALSE, NULL);
        }
      else if (!overdue)
        {
          appoint (appointments, i, 20, start, TD_DEMO_SIGN, TRUE, FALSE, FALSE, NULL);
          overdue = TRUE;
        }
      else
        appoint (appointments, i, 2 + 3 * (int) i, start, TD_DEMO_SIGN, FALSE, FALSE, FALSE, NULL);
    }
}

static const char *const FAULTS[] = {
  "Faucet washer worn, drips when shut",
  "FOB float sticks and has to be tapped loose",
  "Jumper hose cloudy and stiff",
  "Cooler door seal torn; room two degrees warm",
  "Regulator creeps: pressure rises overnight",
  "Coupler seal cut, weeps at the keg",
};

/* More of the past, fortnight by fortnight before the story begins. */
static void
appoint_more (const Demo *demo, GArray *appointments, guint n_more)
{
  guint n = demo->sites->len;

  for (guint k = 0; k < n_more; k++)
    {
      guint site = k % n;
      int cycle = (int) (k / n % MOST_CYCLES);
      int days_ago = FIRST_GENERATED_DAYS + CYCLE_DAYS * cycle + (int) (k * 5 % 3);

      appoint (appointments, site, days_ago, 5 * 60 + 30 + (int) (k * 37 % 240), TD_DEMO_SIGN,
               k % 11 == 3, k % 7 == 2, k % 6 == 5, k % 4 == 1 ? FAULTS[k % G_N_ELEMENTS (FAULTS)] : NULL);
    }
}

static gint
compare_appointments (gconstpointer a, gconstpointer b)
{
  const Appointment *one = a;
  const Appointment *two = b;

  if (one->days_ago != two->days_ago)
    return two->days_ago < one->days_ago ? -1 : 1;
  if (one->start_min != two->start_min)
    return one->start_min < two->start_min ? -1 : 1;
  return one->order < two->order ? -1 : 1;
}

/* The moment at the site's own midnight of today, so many days ago, and so many minutes later. */
static TdMoment
find_start (const Demo *demo, const DemoSite *site, const Appointment *row)
{
  gint64 day_ms = (gint64) (td_zone_get_date (site->zone, demo->now_ms) - row->days_ago) * DAY_MS;
  gint64 local_ms = day_ms + (gint64) row->start_min * 60000;
  gint32 offset = td_zone_get_offset (site->zone, local_ms);
  TdMoment start = { local_ms - (gint64) offset * 60000, offset };

  /* A visit that goes on now began an hour ago, whatever the hour. */
  if (row->days_ago == 0)
    start.utc_ms = demo->now_ms - 65 * 60000;
  return start;
}

static gboolean
keep_appointment (Demo *demo, const Appointment *row, guint64 number, GError **error)
{
  const DemoSite *site = g_ptr_array_index (demo->sites, row->site);
  TdDemoVisit visit = row->shape;
  g_autoptr (TdDemoScript) script = NULL;
  TdClock *clock = td_book_get_clock (demo->book);
  guint8 chance[10];

  visit.site_id = site->id;
  visit.site = site->site;
  visit.masters = demo->masters;
  visit.start = find_start (demo, site, row);
  visit.seed = number * G_GUINT64_CONSTANT (0x9e3779b97f4a7c15) + 1;
  visit.technician = demo->masters->technicians[number % demo->masters->n_technicians].id;
  td_clock_fill_random (clock, chance, sizeof chance);
  visit.visit = td_uuid_make_v7 (visit.start.utc_ms, chance);
  script = td_demo_visit_write (&visit, error);
  if (script == NULL)
    return FALSE;
  if (!td_book_append_many (demo->book, script->drafts, (const gint64 *) (gpointer) script->recorded->data, NULL, error))
    {
      g_prefix_error (error, "Visit to %s: ", site->id);
      return FALSE;
    }
  return TRUE;
}

static gboolean
fill (Demo *demo, guint n_more, GError **error)
{
  g_autoptr (GArray) appointments = g_array_new (FALSE, FALSE, sizeof (Appointment));

  if (!take_files (demo, n_more, error))
    return FALSE;
  appoint_story (demo, appointments);
  appoint_more (demo, appointments, n_more);
  g_array_sort (appointments, compare_appointments);
  for (guint i = 0; i < appointments->len; i++)
    if (!keep_appointment (demo, &g_array_index (appointments, Appointment, i), i, error))
      return FALSE;
  return TRUE;
}

TdBook *
td_demo_book_create (const char *path, gint64 now_ms, guint n_more, GError **error)
{
  g_autoptr (TdClock) clock = td_clock_new_pinned (now_ms, 0, (guint64) now_ms);
  g_autoptr (TdBook) book = td_book_create (path, TRUE, clock, error);
  Demo demo = { .book = book, .now_ms = now_ms };
  gboolean filled;

  if (book == NULL)
    return NULL;
  demo.sites = g_ptr_array_new_with_free_func (demo_site_free);
  filled = fill (&demo, n_more, error);
  g_ptr_array_unref (demo.sites);
  g_clear_pointer (&demo.masters, td_masters_unref);
  if (filled)
    return g_steal_pointer (&book);
  /* Half a demonstration is no use to anyone, and it was made by this very call. */
  g_clear_pointer (&book, td_book_close);
  g_unlink (path);
  return NULL;
}
