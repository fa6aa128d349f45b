/* Records looked at and changed in the window: each kind is made, changed, retired; what is wrong is told at
 * its field; somebody else's change is not lost. */
#include "desk-book.h"
#include "desk-drive.h"

#include "core-json-build.h"
#include "core-site.h"
#include "desk-editor.h"
#include "desk-records-page.h"
#include "store-edit.h"
#include "store-master.h"
#include "store-query.h"

#include <string.h>

static GtkWidget *
get_page (TdDrive *drive)
{
  return td_window_get_page (drive->window);
}

typedef struct
{
  const char *name;
  GtkWidget *found;
} Search;

static void
match (GtkWidget *widget, gpointer data)
{
  Search *search = data;

  if (search->found == NULL && g_strcmp0 (gtk_widget_get_name (widget), search->name) == 0
      && gtk_widget_get_mapped (widget))
    search->found = widget;
}

/* The control of a field, which bears its key. */
static GtkWidget *
find_field (TdDrive *drive, const char *key)
{
  Search search = { key, NULL };

  td_drive_walk (get_page (drive), match, &search);
  if (search.found == NULL)
    g_error ("no field %s on show", key);
  return search.found;
}

static void
find_editor (GtkWidget *widget, gpointer data)
{
  if (TD_IS_EDITOR (widget))
    *(GtkWidget **) data = widget;
}

static GtkWidget *
get_editor (TdDrive *drive)
{
  GtkWidget *editor = NULL;

  td_drive_walk (get_page (drive), find_editor, &editor);
  return editor;
}

static gboolean
has_editor (TdDrive *drive, gpointer data)
{
  return get_editor (drive) != NULL && td_editor_get_form (TD_EDITOR (get_editor (drive))) != NULL;
}

static gboolean
has_list (TdDrive *drive, gpointer data)
{
  gboolean loaded = FALSE;

  if (!TD_IS_RECORDS_PAGE (get_page (drive)) || get_editor (drive) != NULL)
    return FALSE;
  g_object_get (get_page (drive), "loaded", &loaded, NULL);
  return loaded;
}

static TdDrive *
start (char **path_out)
{
  TdDrive *drive = td_drive_new (1024, 600, FALSE);
  char *path = td_drive_path (drive, "b.tundish");

  td_test_book_make (path, 12);
  td_drive_open (drive, path);
  *path_out = path;
  return drive;
}

static void
go_to (TdDrive *drive, const char *where)
{
  td_drive_act (drive, GTK_WIDGET (drive->window), "win.show-records", g_variant_new_string (where));
  td_drive_until (drive, strchr (where, ':') != NULL ? has_editor : has_list, NULL, where);
  td_drive_settle (drive, 50);
}

static TdMaster *
read_master (const char *path, TdMasterKind kind, const char *id)
{
  g_autoptr (TdClock) clock = td_clock_new_pinned (TD_TEST_NOW_MS, 1000, 5);
  g_autoptr (TdBook) book = td_book_open (path, clock, NULL);
  g_autoptr (GError) error = NULL;
  TdMaster *master;

  g_assert_nonnull (book);
  master = td_book_get_master (book, kind, id, &error);
  g_assert_no_error (error);
  return master;
}

static void
assert_has (const TdMaster *master, const char *part)
{
  g_autofree char *text = td_json_to_text (master->json, FALSE);

  if (strstr (text, part) == NULL)
    g_error ("%s lacks %s", text, part);
}

static void
keep (TdDrive *drive)
{
  td_drive_click (drive, td_drive_find (drive, NULL, "keep"));
}

static void
until_kept (TdDrive *drive)
{
  td_drive_until_notice (drive, "Kept.");
  td_drive_until (drive, has_list, NULL, "the list");
}

/* A technician with a certificate: made, found by the search, changed, retired, taken back. */
static void
test_technician (void)
{
  g_autofree char *path = NULL;
  TdDrive *drive = start (&path);
  g_autoptr (TdMaster) made = NULL, retired = NULL;

  go_to (drive, "technicians");
  td_drive_click (drive, td_drive_find (drive, NULL, "add"));
  td_drive_until (drive, has_editor, NULL, "a new technician");
  td_drive_fill (drive, find_field (drive, "name"), "Ada Finch");
  td_drive_fill (drive, find_field (drive, "certificate_expiry"), "2026-02-30");
  keep (drive);
  /* The reader's own words, beside the field, and nothing is kept. */
  td_drive_until_notice (drive, "It was not kept.\nCertificate runs out on: ");
  td_drive_fill (drive, find_field (drive, "certificate_expiry"), "2026-07-10");
  keep (drive);
  until_kept (drive);
  made = read_master (path, TD_MASTER_TECHNICIAN, "ada-finch");
  assert_has (made, "\"certificate_expiry\":\"2026-07-10\"");
  /* Ten days from now: the list points at it. */
  td_drive_fill (drive, td_drive_find (drive, NULL, "search"), "ada fin");
  td_drive_until_label (drive, get_page (drive), "Runs out in 10 days");
  td_drive_until_label (drive, get_page (drive), "1 row");
  td_drive_act (drive, get_page (drive), "records.open", g_variant_new_string ("ada-finch"));
  td_drive_until (drive, has_editor, NULL, "the technician");
  td_drive_click (drive, td_drive_find (drive, NULL, "retire"));
  until_kept (drive);
  td_drive_until_label (drive, get_page (drive), "0 rows");
  td_drive_click (drive, td_drive_find (drive, NULL, "retired"));
  td_drive_until_label (drive, get_page (drive), "1 row");
  retired = read_master (path, TD_MASTER_TECHNICIAN, "ada-finch");
  g_assert_true (retired->retired);
  /* Who is retired is not offered for a visit. */
  td_drive_act (drive, GTK_WIDGET (drive->window), "win.show-site", g_variant_new_string ("kestrel-yard"));
  td_drive_until_place (drive, "site:kestrel-yard");
  td_drive_act (drive, get_page (drive), "site.begin", NULL);
  td_drive_settle (drive, 100);
  g_assert_null (td_drive_look_label (get_page (drive), "Ada Finch"));
  td_drive_free (drive);
}

/* What somebody else kept in the meantime stays, and is shown when it is asked for. */
static void
test_conflict (void)
{
  g_autofree char *path = NULL;
  TdDrive *drive = start (&path);
  g_autoptr (TdMaster) now = NULL;

  go_to (drive, "company:");
  {
    g_autoptr (TdClock) clock = td_clock_new_pinned (TD_TEST_NOW_MS, 1000, 5);
    g_autoptr (TdBook) book = td_book_open (path, clock, NULL);
    g_autoptr (TdMaster) company = td_book_get_master (book, TD_MASTER_COMPANY, "", NULL);
    g_autoptr (TdJson) other = td_json_parse ("{\"name\":\"Somebody Else Lines\"}", -1, NULL);

    g_assert_true (td_book_put_master (book, TD_MASTER_COMPANY, "", company->rev, other, FALSE, NULL, NULL));
  }
  td_drive_fill (drive, find_field (drive, "phone"), "+353 1 555 0199");
  keep (drive);
  td_drive_until_notice (drive, "It was not kept.\n“The company” has been changed");
  now = read_master (path, TD_MASTER_COMPANY, "");
  assert_has (now, "Somebody Else Lines");
  td_drive_click (drive, td_drive_find (drive, NULL, "again"));
  td_drive_settle (drive, 200);
  g_assert_cmpstr (gtk_editable_get_text (GTK_EDITABLE (find_field (drive, "name"))), ==, "Somebody Else Lines");
  td_drive_fill (drive, find_field (drive, "phone"), "+353 1 555 0199");
  keep (drive);
  td_drive_until_notice (drive, "Kept.");
  td_drive_free (drive);
}

static guint
at (TdForm *form, const char *key)
{
  int field = td_form_type_find (td_form_get_form_type (form), key);

  g_assert_cmpint (field, >=, 0);
  return (guint) field;
}

/* A site with its account, places, a split line and its tube, all typed; figures as one types; what comes out
 * is a sheet that an import takes as unchanged. */
static void
test_site (void)
{
  g_autofree char *path = NULL;
  TdDrive *drive = start (&path);
  TdForm *form;
  GtkWidget *figures;
  g_autoptr (TdMaster) made = NULL;
  g_autoptr (TdSite) site = NULL;
  g_autoptr (GError) error = NULL;

  go_to (drive, "sites:");
  form = td_editor_get_form (TD_EDITOR (get_editor (drive)));
  td_drive_fill (drive, find_field (drive, "site.name"), "The New Weir");
  td_form_set_text (form, at (form, "account.name"), "Tin Heron Inns");
  td_drive_fill (drive, find_field (drive, "site.zone"), "Europe/Dublin");
  gtk_widget_grab_focus (find_field (drive, "add-coolers"));
  td_drive_key (drive, "Return");
  td_drive_fill (drive, find_field (drive, "height_m"), "-2.5 m");
  td_drive_click (drive, td_drive_find (drive, NULL, "editor_back"));
  gtk_widget_grab_focus (find_field (drive, "add-towers"));
  td_drive_key (drive, "Return");
  td_drive_fill (drive, find_field (drive, "name"), "Front bar");
  td_drive_key (drive, "Escape");
  td_drive_settle (drive, 100);
  gtk_widget_grab_focus (find_field (drive, "add-lines"));
  td_drive_key (drive, "Return");
  {
    TdForm *line = g_list_model_get_item (td_form_get_items (form, at (form, "lines")), 0);

    td_form_set_text (line, at (line, "tower"), "T1");
    td_form_set_text (line, at (line, "cooler"), "C1");
    g_object_unref (line);
  }
  gtk_widget_grab_focus (find_field (drive, "add-segments"));
  td_drive_key (drive, "Return");
  gtk_drop_down_set_selected (GTK_DROP_DOWN (find_field (drive, "presets")), 2); /* vinyl, 1/4 in inside */
  td_drive_settle (drive, 50);
  td_drive_fill (drive, find_field (drive, "length_m"), "20 ft");
  td_drive_settle (drive, 100);
  figures = find_field (drive, "line-figures");
  /* pi/4 (6.35 mm)2 x 6.096 m = 193.05 mL; shown in fluid ounces or millilitres. */
  g_assert_true (g_str_has_prefix (gtk_label_get_label (GTK_LABEL (figures)), "Holds "));
  td_drive_click (drive, td_drive_find (drive, NULL, "editor_back"));
  gtk_widget_grab_focus (find_field (drive, "add-side_faucets"));
  td_drive_key (drive, "Return");
  keep (drive);
  /* The side faucet has no tower: the way down to it is shown. */
  td_drive_until_notice (drive, "It was not kept.\nTower: ");
  {
    TdForm *line = g_list_model_get_item (td_form_get_items (form, at (form, "lines")), 0);
    TdForm *side = g_list_model_get_item (td_form_get_items (line, at (line, "side_faucets")), 0);

    td_form_set_text (side, at (side, "tower"), "T1");
    g_object_unref (side);
    g_object_unref (line);
  }
  keep (drive);
  until_kept (drive);
  made = read_master (path, TD_MASTER_SITE, "the-new-weir");
  site = td_site_from_json (made->json, &error);
  g_assert_no_error (error);
  g_assert_cmpuint (site->n_outlets, ==, 2);
  g_assert_cmpfloat_with_epsilon (td_line_get_volume_ml (&site->lines[0]), 193.05, 0.01);
  g_assert_true (site->coolers[0].height_m == -2.5);
  td_drive_free (drive);
}

/* Intervals of a place are filled in and kept; only what differs is written. */
static void
test_figures (void)
{
  g_autofree char *path = NULL;
  TdDrive *drive = start (&path);
  g_autoptr (TdClock) clock = td_clock_new_pinned (TD_TEST_NOW_MS, 1000, 5);
  g_autoptr (TdBook) book = NULL;
  g_autoptr (TdSettings) settings = NULL;

  go_to (drive, "figures:");
  gtk_drop_down_set_selected (GTK_DROP_DOWN (find_field (drive, "presets")), 4); /* United Kingdom, 7 days */
  td_drive_settle (drive, 100);
  g_assert_cmpstr (gtk_editable_get_text (GTK_EDITABLE (find_field (drive, "caustic-interval-days"))), ==, "7");
  td_drive_fill (drive, find_field (drive, "acid-interval-months"), "99");
  keep (drive);
  td_drive_until_notice (drive, "It was not kept.\n");
  td_drive_fill (drive, find_field (drive, "acid-interval-months"), "2");
  keep (drive);
  td_drive_until_notice (drive, "Kept.");
  book = td_book_open (path, clock, NULL);
  settings = td_book_get_settings (book, NULL, NULL);
  g_assert_cmpint (td_settings_get (settings, TD_SETTING_CAUSTIC_INTERVAL), ==, 7);
  g_assert_cmpint (td_settings_get (settings, TD_SETTING_ACID_INTERVAL), ==, 2);
  g_assert_cmpint (td_settings_get (settings, TD_SETTING_CONTACT_MAX), ==,
                   td_setting_get_info (TD_SETTING_CONTACT_MAX)->standard);
  td_drive_free (drive);
}

/* The code that the book at @path has for an id of the ledger. */
static char *
get_code (const char *path, const char *id)
{
  g_autoptr (TdClock) clock = td_clock_new_pinned (TD_TEST_NOW_MS, 1000, 5);
  g_autoptr (TdBook) book = td_book_open (path, clock, NULL);
  g_autoptr (TdMasters) masters = td_book_get_masters (book, NULL);
  const TdLedgerAccount *account = td_masters_find_ledger (masters, id);

  return g_strdup (account != NULL ? account->code : NULL);
}

/* Codes of the ledger are kept, refused where they cannot be one, and taken away again. */
static void
test_ledger (void)
{
  g_autofree char *path = NULL;
  TdDrive *drive = start (&path);
  g_autofree char *bank = NULL, *owed = NULL, *gone = NULL;

  go_to (drive, "ledger:");
  td_drive_fill (drive, find_field (drive, "receivable"), "14  00");
  keep (drive);
  td_drive_until_notice (drive, "It was not kept.\n");
  td_drive_fill (drive, find_field (drive, "receivable"), "1400");
  td_drive_fill (drive, find_field (drive, "bank"), "1200");
  keep (drive);
  td_drive_until_notice (drive, "Kept.");
  owed = get_code (path, "receivable");
  bank = get_code (path, "bank");
  g_assert_cmpstr (owed, ==, "1400");
  g_assert_cmpstr (bank, ==, "1200");
  go_to (drive, "accounts");
  go_to (drive, "ledger:");
  g_assert_cmpstr (gtk_editable_get_text (GTK_EDITABLE (find_field (drive, "receivable"))), ==, "1400");
  td_drive_fill (drive, find_field (drive, "receivable"), "");
  keep (drive);
  td_drive_until_notice (drive, "Kept.");
  gone = get_code (path, "receivable");
  g_assert_null (gone);
  td_drive_free (drive);
}

/* What is typed and not kept is not let go without a word. */
static void
test_leaving (void)
{
  g_autofree char *path = NULL;
  TdDrive *drive = start (&path);

  go_to (drive, "accounts");
  td_drive_click (drive, td_drive_find (drive, NULL, "add"));
  td_drive_until (drive, has_editor, NULL, "a new account");
  td_drive_fill (drive, find_field (drive, "name"), "Weir Taverns");
  td_drive_click (drive, td_drive_find (drive, NULL, "editor_back"));
  td_drive_until_notice (drive, "What you typed is not kept yet.");
  g_assert_nonnull (get_editor (drive));
  td_drive_click (drive, td_drive_find (drive, NULL, "editor_back"));
  td_drive_until (drive, has_list, NULL, "the list");
  /* The window's own ways out ask, too. */
  td_drive_click (drive, td_drive_find (drive, NULL, "add"));
  td_drive_until (drive, has_editor, NULL, "a new account");
  td_drive_fill (drive, find_field (drive, "name"), "Weir Taverns");
  td_drive_key (drive, "Escape");
  td_drive_until_notice (drive, "What you typed is not kept yet.");
  td_drive_fill (drive, find_field (drive, "name"), "Weir Taverns 2");
  td_drive_act (drive, GTK_WIDGET (drive->window), "win.show-round", NULL);
  td_drive_settle (drive, 100);
  g_assert_true (TD_IS_RECORDS_PAGE (get_page (drive)));
  td_drive_act (drive, GTK_WIDGET (drive->window), "win.show-round", NULL);
  td_drive_until_place (drive, "round");
  td_drive_free (drive);
}

/* Every kind opens: its first row as a form that passes its own check untouched. */
static void
test_all_kinds (void)
{
  g_autofree char *path = NULL;
  TdDrive *drive = start (&path);

  for (int i = 0; i < TD_N_RECORDS; i++)
    {
      g_autoptr (GPtrArray) masters = NULL;
      g_autofree char *where = NULL;
      g_autoptr (TdJson) json = NULL;
      TdForm *form;

      if (td_records_is_single ((TdRecords) i))
        where = g_strconcat (td_records_to_text ((TdRecords) i), ":", NULL);
      else
        {
          static const TdMasterKind kinds[] = { 0, TD_MASTER_ACCOUNT, TD_MASTER_SITE, TD_MASTER_TECHNICIAN,
                                                TD_MASTER_INSTRUMENT, TD_MASTER_PRODUCT, TD_MASTER_LOT };
          g_autoptr (TdClock) clock = td_clock_new_pinned (TD_TEST_NOW_MS, 1000, 5);
          g_autoptr (TdBook) book = td_book_open (path, clock, NULL);

          masters = td_book_list_masters (book, kinds[i], NULL);
          g_assert_cmpuint (masters->len, >, 0);
          where = g_strconcat (td_records_to_text ((TdRecords) i), ":",
                               ((TdMaster *) g_ptr_array_index (masters, 0))->id, NULL);
        }
      go_to (drive, where);
      form = td_editor_get_form (TD_EDITOR (get_editor (drive)));
      json = td_form_check (form, NULL, NULL);
      g_assert_nonnull (json);
      g_assert_false (td_form_is_changed (form));
      if (masters != NULL)
        g_assert_true (td_json_equal (json, ((TdMaster *) g_ptr_array_index (masters, 0))->json));
    }
  td_drive_free (drive);
}

int
main (int argc, char **argv)
{
  td_drive_init (&argc, &argv);
  g_test_add_func ("/records/technician", test_technician);
  g_test_add_func ("/records/conflict", test_conflict);
  g_test_add_func ("/records/site", test_site);
  g_test_add_func ("/records/figures", test_figures);
  g_test_add_func ("/records/ledger", test_ledger);
  g_test_add_func ("/records/leaving", test_leaving);
  g_test_add_func ("/records/all-kinds", test_all_kinds);
  return g_test_run ();
}
