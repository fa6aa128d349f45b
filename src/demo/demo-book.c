#include "demo-book.h"

#include "core-slug.h"
#include "demo-resources.h"
#include "demo-visit.h"
#include "store-journal.h"
#include "store-master.h"
#include "store-query.h"

#include <gio/gio.h>
#include <glib/gstdio.h>
#include <string.h>

#define FOLDER "/com/example/Tundish/demo"
#define DAY_MS G_GINT64_CONSTANT (86400000)

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

static TdJson *
read_resource (const char *name, GError **error)
{
  g_autofree char *path = g_strdup_printf (FOLDER "/%s", name);
  g_autoptr (GBytes) bytes = g_resource_lookup_data (demo_get_resource (), path, G_RESOURCE_LOOKUP_FLAGS_NONE, error);
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

static gboolean
take_company (Demo *demo, GError **error)
{
  g_autoptr (TdJson) json = read_resource ("company.json", error);
  g_autoptr (TdMasters) masters = json != NULL ? td_masters_from_json (json, error) : NULL;
  g_auto (GStrv) names = NULL;

  if (masters == NULL || !td_book_import_company (demo->book, masters, NULL, error))
    return FALSE;
  demo->masters = td_book_get_masters (demo->book, error);
  if (demo->masters == NULL)
    return FALSE;
  names = g_resource_enumerate_children (demo_get_resource (), FOLDER, G_RESOURCE_LOOKUP_FLAGS_NONE, error);
  if (names == NULL)
    return FALSE;
  g_qsort_with_data (names, (int) g_strv_length (names), sizeof (char *), (GCompareDataFunc) (void (*) (void)) g_strcmp0,
                     NULL);
  return TRUE;
}
