/* Rows of master data changed one by one: the checks of the files, revisions, names, retiring. */
#include "book-bench.h"

#include "core-error.h"
#include "core-json-build.h"
#include "store-edit.h"
#include "store-query.h"

#include <string.h>

static TdJson *
parse (const char *text)
{
  g_autoptr (GError) error = NULL;
  TdJson *json = td_json_parse (text, -1, &error);
  g_assert_no_error (error);
  return json;
}

/* Puts a row that must be taken. Returns: (transfer full): its id. */
static char *
put (BookBench *bench, TdMasterKind kind, const char *id, guint rev, const char *text, gboolean retired)
{
  g_autoptr (TdJson) json = parse (text);
  g_autoptr (GError) error = NULL;
  char *written = NULL;
  td_book_put_master (bench->book, kind, id, rev, json, retired, &written, &error);
  g_assert_no_error (error);
  return written;
}

static void
put_fails (BookBench *bench, TdMasterKind kind, const char *id, guint rev, const char *text, gboolean retired,
           GQuark domain, int code, const char *part)
{
  g_autoptr (TdJson) json = parse (text);
  g_autoptr (GError) error = NULL;
  g_autofree char *before = book_bench_hash_file (bench->path);
  g_assert_false (td_book_put_master (bench->book, kind, id, rev, json, retired, NULL, &error));
  g_assert_error (error, domain, code);
  if (strstr (error->message, part) == NULL)
    g_error ("“%s” lacks “%s”", error->message, part);
}

static TdMaster *
get (BookBench *bench, TdMasterKind kind, const char *id)
{
  g_autoptr (GError) error = NULL;
  TdMaster *master = td_book_get_master (bench->book, kind, id, &error);
  g_assert_no_error (error);
  return master;
}

typedef struct
{
  const char *name;
  TdMasterKind kind;
  const char *fresh;   /* a new row; an id in it is not looked at */
  const char *changed; /* ID stands for the id that it got */
  const char *id;      /* that it gets */
  const char *wrong, *part;
} Case;

static const Case cases[] = {
  { "account", TD_MASTER_ACCOUNT, "{\"name\":\"Weir Taverns\",\"phone\":\"1\"}",
    "{\"name\":\"Weir Taverns\",\"email\":\"office@example.com\"}", "weir-taverns",
    "{\"name\":\"Weir Taverns\",\"email\":\"office\"}", "\"email\" must be" },
  { "technician", TD_MASTER_TECHNICIAN, "{\"id\":\"new\",\"name\":\"Ada Finch\"}",
    "{\"id\":\"ada-finch\",\"name\":\"Ada Finch\",\"certificate\":\"C-1\",\"certificate_expiry\":\"2027-01-31\"}",
    "ada-finch", "{\"id\":\"x\",\"name\":\"Ada\",\"certificate_expiry\":\"2027-02-30\"}", "line 1, column " },
  { "instrument", TD_MASTER_INSTRUMENT, "{\"id\":\"new\",\"name\":\"pH meter 9\",\"kind\":\"ph-meter\"}",
    "{\"id\":\"ph-meter-9\",\"name\":\"pH meter 9\",\"kind\":\"ph-meter\",\"calibrated\":\"2026-02-01\","
    "\"calibration_due\":\"2026-08-01\"}",
    "ph-meter-9", "{\"id\":\"x\",\"name\":\"pH meter\",\"kind\":\"crystal ball\"}", "crystal ball" },
  { "product", TD_MASTER_PRODUCT,
    "{\"id\":\"new\",\"name\":\"Line lye\",\"kind\":\"caustic\",\"substance\":\"naoh\",\"basis\":\"w/w\","
    "\"percent_milli\":30000,\"target_percent_milli\":2000}",
    "{\"id\":\"line-lye\",\"name\":\"Line lye\",\"kind\":\"caustic\",\"substance\":\"naoh\",\"basis\":\"w/w\","
    "\"percent_milli\":32000,\"target_percent_milli\":2000,\"density_kg_m3\":1350}",
    "line-lye",
    "{\"id\":\"x\",\"name\":\"Line lye\",\"kind\":\"caustic\",\"substance\":\"naoh\",\"basis\":\"w/w\","
    "\"percent_milli\":1000,\"target_percent_milli\":2000}",
    "stronger" },
};

static void
test_rows (gconstpointer data)
{
  const Case *c = data;
  g_autoptr (BookBench) bench = book_bench_new ();
  g_autofree char *id = put (bench, c->kind, NULL, 0, c->fresh, FALSE);
  g_autofree char *again = NULL, *retired = NULL;
  g_assert_cmpstr (id, ==, c->id);
  g_autoptr (TdMaster) first = get (bench, c->kind, id);
  g_assert_cmpuint (first->rev, ==, 1);
  again = put (bench, c->kind, id, 1, c->changed, FALSE);
  g_autoptr (TdMaster) second = get (bench, c->kind, id);
  g_autoptr (TdJson) wanted = parse (c->changed);
  g_assert_cmpuint (second->rev, ==, 2);
  g_assert_true (td_json_equal (second->json, wanted));
  /* The revision that the first state had no longer counts. */
  put_fails (bench, c->kind, id, 1, c->changed, TRUE, TD_BOOK_ERROR, TD_BOOK_ERROR_CONFLICT, "somebody else");
  put_fails (bench, c->kind, "nobody", 1, c->changed, FALSE, TD_BOOK_ERROR, TD_BOOK_ERROR_MISSING, "nobody");
  g_autoptr (TdJson) wrong = parse (c->wrong);
  g_autoptr (GError) error = NULL;
  g_assert_false (td_book_put_master (bench->book, c->kind, id, 2, wrong, FALSE, NULL, &error));
  g_assert_nonnull (error);
  g_assert_true (error->domain == TD_ERROR && strstr (error->message, c->part) != NULL);
  retired = put (bench, c->kind, id, 2, c->changed, TRUE);
  g_autoptr (TdMaster) third = get (bench, c->kind, id);
  g_assert_true (third->retired && third->rev == 3);
  book_bench_check (bench);
}

/* What is written is written with the same functions as an import: the same again is no change. */
static void
test_same (void)
{
  g_autoptr (BookBench) bench = book_bench_new ();
  g_autofree char *id = put (bench, TD_MASTER_ACCOUNT, NULL, 0, "{\"name\":\"Weir Taverns\"}", FALSE);
  g_autofree char *again = put (bench, TD_MASTER_ACCOUNT, id, 1, "{\"name\":\"Weir Taverns\"}", FALSE);
  g_autoptr (TdMaster) master = get (bench, TD_MASTER_ACCOUNT, id);
  g_assert_cmpuint (master->rev, ==, 1);
}

static void
test_ids (void)
{
  g_autoptr (BookBench) bench = book_bench_new ();
  g_autofree char *one = put (bench, TD_MASTER_TECHNICIAN, NULL, 0, "{\"id\":\"new\",\"name\":\"Ada Finch\"}", FALSE);
  g_autofree char *two = put (bench, TD_MASTER_TECHNICIAN, NULL, 0, "{\"id\":\"new\",\"name\":\"Ada Finch\"}", FALSE);
  g_assert_cmpstr (one, ==, "ada-finch");
  g_assert_cmpstr (two, ==, "ada-finch-2");
  /* A name that is an account's own is refused. */
  g_autofree char *weir = put (bench, TD_MASTER_ACCOUNT, NULL, 0, "{\"name\":\"Weir Taverns\"}", FALSE);
  put_fails (bench, TD_MASTER_ACCOUNT, NULL, 0, "{\"name\":\"Weir Taverns\"}", FALSE, TD_BOOK_ERROR,
             TD_BOOK_ERROR_REFUSED, "another account");
}

static void
test_company (void)
{
  g_autoptr (BookBench) bench = book_bench_new ();
  g_autoptr (TdMaster) before = get (bench, TD_MASTER_COMPANY, "");
  g_autofree char *id = put (bench, TD_MASTER_COMPANY, "", before->rev,
                             "{\"name\":\"Clear Lines\",\"phone\":\"+353 1 555 0100\"}", FALSE);
  g_autoptr (TdMasters) masters = td_book_get_masters (bench->book, NULL);
  g_assert_cmpstr (masters->company, ==, "Clear Lines");
  g_assert_cmpstr (masters->company_phone, ==, "+353 1 555 0100");
  put_fails (bench, TD_MASTER_COMPANY, "", before->rev, "{\"name\":\"Other\"}", FALSE, TD_BOOK_ERROR,
             TD_BOOK_ERROR_CONFLICT, "The company");
}

/* The first site of the bench's book, as a person edits it. */
static TdMaster *
get_site (BookBench *bench)
{
  g_autoptr (GPtrArray) sites = td_book_list_masters (bench->book, TD_MASTER_SITE, NULL);
  g_assert_nonnull (sites);
  g_assert_cmpuint (sites->len, >=, 1);
  return g_ptr_array_steal_index (sites, 0);
}

/* @text with the first @what replaced. (transfer full) */
static char *
replace (const TdJson *json, const char *what, const char *with)
{
  g_autofree char *text = td_json_to_text (json, FALSE);
  const char *at = strstr (text, what);
  g_assert_nonnull (at);
  g_autofree char *head = g_strndup (text, at - text);
  return g_strconcat (head, with, at + strlen (what), NULL);
}

/* A renamed site stays the same one and its sheet the one that an export would give. */
static void
test_site (void)
{
  g_autoptr (BookBench) bench = book_bench_new ();
  g_autoptr (TdMaster) site = get_site (bench);
  const char *name = td_json_get_string (td_json_get_member (td_json_get_member (site->json, "site"), "name"));
  g_autofree char *old = g_strdup_printf ("\"name\":\"%s\",", name);
  g_autofree char *text = replace (td_json_get_member (site->json, "site"), old, "\"name\":\"The New Name\",");
  g_autofree char *part = td_json_to_text (td_json_get_member (site->json, "site"), FALSE);
  g_autofree char *whole = replace (site->json, part, text);
  g_autofree char *id = put (bench, TD_MASTER_SITE, site->id, site->rev, whole, FALSE);
  g_autoptr (GPtrArray) rows = td_book_list_sites (bench->book, NULL);
  g_autoptr (TdSite) now = td_book_get_site (bench->book, id, NULL);
  g_assert_cmpstr (id, ==, site->id);
  g_assert_cmpstr (now->name, ==, "The New Name");
  g_autoptr (TdJson) sheet = td_site_to_json (now);
  g_autoptr (TdJson) wanted = parse (whole);
  g_assert_true (td_json_equal (sheet, wanted));
  g_assert_cmpuint (((TdSiteRow *) g_ptr_array_index (rows, 0))->rev, ==, site->rev + 1);
  put_fails (bench, TD_MASTER_SITE, site->id, site->rev + 1,
             "{\"format\":\"tundish-site/1\",\"site\":{\"name\":\"x\"},\"coolers\":[],\"towers\":[],\"lines\":[]}", FALSE,
             TD_ERROR, TD_ERROR_SHAPE, "account");
  book_bench_check (bench);
}

static void
test_site_retired (void)
{
  g_autoptr (BookBench) bench = book_bench_new ();
  g_autoptr (TdMaster) site = get_site (bench);
  g_autofree char *text = td_json_to_text (site->json, FALSE);
  TdUuid visit = book_bench_visit (1);
  book_bench_add_visit (bench, &visit, 3);
  put_fails (bench, TD_MASTER_SITE, site->id, site->rev, text, TRUE, TD_BOOK_ERROR, TD_BOOK_ERROR_REFUSED, "still open");
  g_autoptr (BookBench) other = book_bench_new ();
  g_autofree char *id = put (other, TD_MASTER_SITE, site->id, site->rev, text, TRUE);
  g_autoptr (GPtrArray) rows = td_book_list_sites (other->book, NULL);
  for (guint i = 0; i < rows->len; i++)
    g_assert_cmpstr (((TdSiteRow *) g_ptr_array_index (rows, i))->id, !=, id);
  book_bench_check (other);
}

/* An account that is renamed takes its sites' sheets along. */
static void
test_account_renamed (void)
{
  g_autoptr (BookBench) bench = book_bench_new ();
  g_autoptr (TdMaster) site = get_site (bench);
  g_autoptr (GPtrArray) rows = td_book_list_sites (bench->book, NULL);
  const char *account_id = ((TdSiteRow *) g_ptr_array_index (rows, 0))->account_id;
  g_autoptr (TdMaster) account = get (bench, TD_MASTER_ACCOUNT, account_id);
  g_autofree char *id = put (bench, TD_MASTER_ACCOUNT, account_id, account->rev, "{\"name\":\"Renamed Inns\"}", FALSE);
  g_autoptr (TdSite) now = td_book_get_site (bench->book, site->id, NULL);
  g_assert_cmpstr (now->account_name, ==, "Renamed Inns");
  g_autoptr (GPtrArray) accounts = td_book_list_accounts (bench->book, NULL);
  g_assert_cmpuint (accounts->len, ==, 1);
  book_bench_check (bench);
}

/* Who is retired is still known to old entries, and says so. */
static void
test_retired_known (void)
{
  g_autoptr (BookBench) bench = book_bench_new ();
  g_autofree char *id = put (bench, TD_MASTER_TECHNICIAN, NULL, 0, "{\"id\":\"new\",\"name\":\"Ada Finch\"}", FALSE);
  g_autofree char *again = put (bench, TD_MASTER_TECHNICIAN, id, 1, "{\"id\":\"new\",\"name\":\"Ada Finch\"}", TRUE);
  g_autoptr (TdMasters) masters = td_book_get_masters (bench->book, NULL);
  const TdTechnician *technician = td_masters_find_technician (masters, id);
  g_assert_nonnull (technician);
  g_assert_true (technician->retired);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  for (gsize i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      g_autofree char *path = g_strdup_printf ("/edit/%s", cases[i].name);
      g_test_add_data_func (path, &cases[i], test_rows);
    }
  g_test_add_func ("/edit/same", test_same);
  g_test_add_func ("/edit/ids", test_ids);
  g_test_add_func ("/edit/company", test_company);
  g_test_add_func ("/edit/site", test_site);
  g_test_add_func ("/edit/site-retired", test_site_retired);
  g_test_add_func ("/edit/account-renamed", test_account_renamed);
  g_test_add_func ("/edit/retired-known", test_retired_known);
  return g_test_run ();
}
