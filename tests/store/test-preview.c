/* What an import would do is told before, and is what it then does; comma-separated rows of every kind. */
#include "book-bench.h"

#include "core-change.h"
#include "core-json-build.h"
#include "store-edit.h"
#include "store-preview.h"

#include <string.h>

typedef struct
{
  const char *name;
  const char *file; /* its name */
  const char *text;
  const char *expected; /* "LINE OUTCOME TITLE[ path old new...]" a row; "!" before a part of the message */
} Case;

/* The bench's company has the product "lye" and the account "Bench Houses"; see visit-bench.c. */
static const Case cases[] = {
  { "accounts", "a.csv", "name,phone\nWeir Taverns,1\n,2\nWeir Taverns,3\n",
    "2 new Weir Taverns\n3 refused - !needs a name\n4 refused - !stands twice\n" },
  { "technicians", "t.csv", "id,name,certificate,certificate_expiry\nt8,Ada Finch,C-1,2027-01-31\nt9,Bo Reed,,2027-02-30\n",
    "2 new Ada Finch\n3 refused Bo Reed !certificate_expiry\n" },
  { "instruments", "i.CSV", "id,name,kind\nph9,Meter 9,ph-meter\nx,Ball,crystal-ball\n",
    "2 new Meter 9\n3 refused Ball !kind\n" },
  { "products", "p.csv",
    "id,name,kind,substance,basis,percent_milli,target_percent_milli\np9,Lye 9,caustic,naoh,w/w,30000,2000\n"
    "p8,Lye 8,caustic,naoh,w/w,weak,2000\n",
    "2 new Lye 9\n3 refused - !weak\n" },
  { "lots", "l.csv", "id,product,code,received,recalled\nl9,nothing,24-1,2026-01-01,no\n", "2 refused 24-1 !nothing\n" },
  { "a header that does not do", "h.csv", "name,colour\nA,red\n", "1 refused - !colour\n" },
  { "a company file", "c.json",
    "{\"format\":\"tundish-company/1\",\n\"technicians\":[\n{\"id\":\"t8\",\"name\":\"Ada Finch\"},\n"
    "{\"id\":\"t9\",\"name\":\"Bo Reed\"}]}",
    "3 new Ada Finch\n4 new Bo Reed\n" },
  { "a company file that is wrong", "c.json",
    "{\"format\":\"tundish-company/1\",\n\"technicians\":[\n{\"id\":\"t8\",\"nome\":\"Ada Finch\"}]}",
    "3 refused - !nome\n" },
  { "a sheet of a new account", "s.json",
    "{\"format\":\"tundish-site/1\",\n\"account\":{\"name\":\"Weir Taverns\"},\"site\":{\"name\":\"The Weir\"},"
    "\"coolers\":[],\"towers\":[],\"lines\":[]}",
    "2 new Weir Taverns\n1 new The Weir\n" },
  { "a sheet in a zone that is none", "s.json",
    "{\"format\":\"tundish-site/1\",\"account\":{\"name\":\"W\"},\"site\":{\"name\":\"The Weir\",\"zone\":\"Moon/Base\"},"
    "\"coolers\":[],\"towers\":[],\"lines\":[]}",
    "0 refused The Weir !Moon/Base\n" },
  { "codes of the ledger", "c.json",
    "{\"format\":\"tundish-company/1\",\n\"ledger\":[\n{\"id\":\"bank\",\"code\":\"1200\"},\n"
    "{\"id\":\"tax-23\",\"code\":\"2200\"}]}",
    "3 new bank\n4 new tax-23\n" },
  { "hours of the round", "r.json", "{\"format\":\"tundish-round/1\"}", "0 refused - !tundishctl import\n" },
  { "another file", "x.json", "{\"format\":\"other/1\"}", "1 refused - !neither\n" },
  { "no file of ours", "x.json", "hello", "1 refused - !\n" },
};

static char *
tell (const TdPreview *preview, const char *expected)
{
  static const char *const outcomes[] = { "new", "changed", "same", "refused" };
  g_autoptr (GString) told = g_string_new (NULL);
  g_auto (GStrv) wanted = g_strsplit (expected, "\n", -1);
  for (guint i = 0; i < preview->rows->len; i++)
    {
      const TdPreviewRow *row = g_ptr_array_index (preview->rows, i);
      const char *part = i < g_strv_length (wanted) ? strchr (wanted[i], '!') : NULL;
      g_string_append_printf (told, "%u %s %s", row->line, outcomes[row->outcome], row->title ? row->title : "-");
      for (guint j = 0; row->changes != NULL && j < row->changes->len; j++)
        {
          const TdChange *change = g_ptr_array_index (row->changes, j);
          g_string_append_printf (told, " %s %s %s", change->path, change->old_text ? change->old_text : "-",
                                  change->new_text ? change->new_text : "-");
        }
      /* The part must be in the message, wherever. */
      if (row->message != NULL)
        g_string_append_printf (told, " %s",
                                part != NULL && strstr (row->message, part + 1) != NULL ? part : row->message);
      g_string_append_c (told, '\n');
    }
  return g_string_free (g_steal_pointer (&told), FALSE);
}

static TdPreview *
look (BookBench *bench, const char *name, const char *text)
{
  TdPreviewFile file = { name, text, strlen (text) };
  g_autoptr (GError) error = NULL;
  g_autoptr (GPtrArray) previews = td_book_preview (bench->book, &file, 1, &error);
  g_assert_no_error (error);
  g_assert_cmpuint (previews->len, ==, 1);
  return g_ptr_array_steal_index (previews, 0);
}

static void
test_preview (gconstpointer data)
{
  const Case *c = data;
  g_autoptr (BookBench) bench = book_bench_new ();
  g_autofree char *before = book_bench_hash_file (bench->path);
  g_autoptr (TdPreview) preview = look (bench, c->file, c->text);
  g_autofree char *told = tell (preview, c->expected);
  g_assert_cmpstr (told, ==, c->expected);
  /* Nothing is written. */
  g_autofree char *after = book_bench_hash_file (bench->path);
  g_assert_cmpstr (after, ==, before);
}

/* What is told is what happens, and told again it is the same. */
static void
test_then_import (void)
{
  static const char first[] = "name,phone,address\nWeir Taverns,1,Quay 1\nLock Inns,2,\n";
  static const char second[] = "name,phone\nWeir Taverns,7\nLock Inns,2\nSluice Bars,\n";
  static const char expected[]
    = "2 changed Weir Taverns phone 1 7\n3 same Lock Inns\n4 new Sluice Bars\n";
  g_autoptr (BookBench) bench = book_bench_new ();
  g_autoptr (GError) error = NULL;
  TdImportCount count = { 0 };
  g_assert_true (td_book_import_csv (bench->book, first, -1, NULL, &error));
  g_autoptr (TdPreview) preview = look (bench, "a.csv", second);
  g_autofree char *told = tell (preview, expected);
  g_assert_cmpstr (told, ==, expected);
  g_assert_true (td_book_import_csv (bench->book, second, -1, &count, &error));
  g_assert_no_error (error);
  g_assert_cmpuint (count.added, ==, preview->counts[TD_PREVIEW_NEW]);
  g_assert_cmpuint (count.changed, ==, preview->counts[TD_PREVIEW_CHANGED]);
  g_assert_cmpuint (count.same, ==, preview->counts[TD_PREVIEW_SAME]);
  /* A column that the second file does not have has stayed. */
  g_autoptr (TdMaster) weir = td_book_get_master (bench->book, TD_MASTER_ACCOUNT, "weir-taverns", &error);
  g_assert_cmpstr (td_json_get_string (td_json_get_member (weir->json, "address")), ==, "Quay 1");
  g_autoptr (TdPreview) again = look (bench, "a.csv", second);
  g_assert_cmpuint (again->counts[TD_PREVIEW_SAME], ==, 3);
}

/* What is out of use comes back into it by an import: that is told as the change that it is. */
static void
test_retired (void)
{
  static const char rows[] = "name,phone\nWeir Taverns,1\n";
  static const char expected[] = "2 changed Weir Taverns retired yes no\n";
  g_autoptr (BookBench) bench = book_bench_new ();
  g_autoptr (GError) error = NULL;
  TdImportCount count = { 0 };
  g_assert_true (td_book_import_csv (bench->book, rows, -1, NULL, &error));
  g_autoptr (TdMaster) weir = td_book_get_master (bench->book, TD_MASTER_ACCOUNT, "weir-taverns", &error);
  g_assert_true (
    td_book_put_master (bench->book, TD_MASTER_ACCOUNT, weir->id, weir->rev, weir->json, TRUE, NULL, &error));
  g_assert_no_error (error);
  g_autoptr (TdPreview) preview = look (bench, "a.csv", rows);
  g_autofree char *told = tell (preview, expected);
  g_assert_cmpstr (told, ==, expected);
  g_assert_true (td_book_import_csv (bench->book, rows, -1, &count, &error));
  g_assert_cmpuint (count.changed, ==, 1);
  g_autoptr (TdMaster) again = td_book_get_master (bench->book, TD_MASTER_ACCOUNT, "weir-taverns", &error);
  g_assert_false (again->retired);
  g_autoptr (TdPreview) same = look (bench, "a.csv", rows);
  g_assert_cmpuint (same->counts[TD_PREVIEW_SAME], ==, 1);
}

/* A row of CSV that is refused names its line and field in the import, too, and nothing of the file is kept. */
static void
test_import_refused (void)
{
  g_autoptr (BookBench) bench = book_bench_new ();
  g_autoptr (GError) error = NULL;
  gint64 before = book_bench_ask_sql (bench->path, "SELECT count (*) FROM technician");
  g_assert_false (td_book_import_csv (bench->book, "id,name,certificate_expiry\na,A,2027-01-31\nb,B,soon\n", -1, NULL,
                                      &error));
  g_assert_nonnull (error);
  g_assert_true (g_str_has_prefix (error->message, "line 3, column 5: "));
  g_assert_cmpint (book_bench_ask_sql (bench->path, "SELECT count (*) FROM technician"), ==, before);
}

/* A sheet exported, changed by hand and looked at. */
static void
test_sheet (void)
{
  g_autoptr (BookBench) bench = book_bench_new ();
  g_autoptr (GPtrArray) sites = td_book_list_masters (bench->book, TD_MASTER_SITE, NULL);
  const TdMaster *site = g_ptr_array_index (sites, 0);
  g_autofree char *text = td_json_to_text (site->json, TRUE);
  g_autoptr (TdPreview) same = look (bench, "s.json", text);
  g_assert_cmpuint (same->counts[TD_PREVIEW_SAME], ==, 1);
  g_assert_cmpuint (same->rows->len, ==, 1);
  char *at = strstr (text, "\"length_m\": ");
  g_assert_nonnull (at);
  at[strlen ("\"length_m\": ")] = '9';
  g_autoptr (TdPreview) changed = look (bench, "s.json", text);
  g_assert_cmpuint (changed->counts[TD_PREVIEW_CHANGED], ==, 1);
  const TdPreviewRow *row = g_ptr_array_index (changed->rows, 0);
  g_assert_cmpuint (row->changes->len, ==, 1);
  const TdChange *change = g_ptr_array_index (row->changes, 0);
  g_assert_true (g_str_has_prefix (change->path, "lines["));
  g_assert_true (g_str_has_suffix (change->path, ".length_m"));
}

/* Files together: a lot finds its product in the company file beside it. */
static void
test_together (void)
{
  static const TdPreviewFile files[] = {
    { "l.csv", "id,product,code,received\nl9,p9,24-1,2026-01-01\n", 50 },
    { "c.json",
      "{\"format\":\"tundish-company/1\",\"products\":[{\"id\":\"p9\",\"name\":\"Lye 9\",\"kind\":\"caustic\","
      "\"substance\":\"naoh\",\"basis\":\"w/w\",\"percent_milli\":30000,\"target_percent_milli\":2000}]}", 0 },
  };
  TdPreviewFile both[2] = { files[0], files[1] };
  g_autoptr (BookBench) bench = book_bench_new ();
  for (guint i = 0; i < 2; i++)
    both[i].length = strlen (both[i].text);
  g_autoptr (GPtrArray) previews = td_book_preview (bench->book, both, 2, NULL);
  g_assert_nonnull (previews);
  for (guint i = 0; i < 2; i++)
    {
      const TdPreview *preview = g_ptr_array_index (previews, i);
      g_assert_cmpstr (preview->name, ==, both[i].name);
      g_assert_cmpuint (preview->counts[TD_PREVIEW_NEW], ==, 1);
      g_assert_cmpuint (preview->rows->len, ==, 1);
    }
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  for (gsize i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      g_autofree char *path = g_strdup_printf ("/preview/%s", cases[i].name);
      g_test_add_data_func (path, &cases[i], test_preview);
    }
  g_test_add_func ("/preview/then-import", test_then_import);
  g_test_add_func ("/preview/retired", test_retired);
  g_test_add_func ("/preview/import-refused", test_import_refused);
  g_test_add_func ("/preview/sheet", test_sheet);
  g_test_add_func ("/preview/together", test_together);
  return g_test_run ();
}
