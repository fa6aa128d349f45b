/* The lazy list: GListModel's rules, pages asked for once, items that outlive a snapshot. */
#include "list-validator.h"
#include "model-lazy-list.h"
#include "model-round.h"

/* A source of rows whose pages are answered when the test says so. */
typedef struct
{
  GPtrArray *requests; /* TdLazyRequest, not yet answered */
  guint asked;
  int generation; /* goes into the rows, as "days" */
} Source;

static void
fetch (TdLazyList *list, TdLazyRequest *request, gpointer user_data)
{
  Source *source = user_data;

  source->asked++;
  g_ptr_array_add (source->requests, request);
}

static void
answer (TdLazyList *list, Source *source, TdLazyRequest *request)
{
  g_autoptr (GPtrArray) values = g_ptr_array_new_with_free_func ((GDestroyNotify) td_round_unref);
  guint n = 0;
  const gint64 *keys = td_lazy_request_get_keys (request, &n);

  for (guint i = 0; i < n; i++)
    {
      g_autofree char *name = g_strdup_printf ("site %" G_GINT64_FORMAT, keys[i]);
      TdRound round = { .key = keys[i], .site = name, .account = (char *) "a", .due = 0, .days = source->generation };

      g_ptr_array_add (values, td_round_new (&round));
    }
  td_lazy_list_answer (list, request, values);
}

static void
answer_all (TdLazyList *list, Source *source)
{
  while (source->requests->len > 0)
    answer (list, source, g_ptr_array_steal_index (source->requests, 0));
}

static GArray *
make_keys (gint64 first, guint n)
{
  GArray *keys = g_array_new (FALSE, FALSE, sizeof (gint64));

  for (guint i = 0; i < n; i++)
    {
      gint64 key = first + i;

      g_array_append_val (keys, key);
    }
  return keys;
}

static Source *
source_new (void)
{
  Source *source = g_new0 (Source, 1);

  source->requests = g_ptr_array_new_with_free_func ((GDestroyNotify) td_lazy_request_free);
  return source;
}

static void
source_free (gpointer data)
{
  Source *source = data;

  g_ptr_array_unref (source->requests);
  g_free (source);
}

static TdLazyList *
list_new (Source *source)
{
  return td_lazy_list_new (TD_TYPE_ROUND_ITEM, fetch, source, source_free);
}

static void
test_pages (void)
{
  Source *source = source_new ();
  g_autoptr (TdLazyList) list = list_new (source);
  g_autoptr (TdRow) first = NULL;
  g_autoptr (TdRow) again = NULL;
  g_autoptr (TdRow) last = NULL;

  td_lazy_list_set_keys (list, make_keys (1000, 1000000));
  g_assert_cmpuint (g_list_model_get_n_items (G_LIST_MODEL (list)), ==, 1000000);
  g_assert_cmpuint (source->asked, ==, 0);
  first = g_list_model_get_item (G_LIST_MODEL (list), 0);
  again = g_list_model_get_item (G_LIST_MODEL (list), 0);
  g_assert_true (first == again);
  g_assert_null (td_row_get_value (first));
  for (guint i = 0; i < TD_LAZY_PAGE; i++)
    g_object_unref (g_list_model_get_item (G_LIST_MODEL (list), i));
  g_assert_cmpuint (source->asked, ==, 1); /* the page was asked for once */
  last = g_list_model_get_item (G_LIST_MODEL (list), 999999);
  g_assert_cmpuint (source->asked, ==, 2);
  answer_all (list, source);
  g_assert_cmpint (td_row_get_key (last), ==, 1000999);
  g_assert_cmpstr (((TdRound *) td_row_get_value (last))->site, ==, "site 1000999");
  g_object_unref (g_list_model_get_item (G_LIST_MODEL (list), 255));
  g_assert_cmpuint (source->asked, ==, 2); /* kept */
  g_assert_cmpuint (td_lazy_list_find (list, 1007), ==, 7);
  g_assert_cmpuint (td_lazy_list_find (list, 7), ==, G_MAXUINT);
}

static void
test_cache_is_bounded (void)
{
  Source *source = source_new ();
  g_autoptr (TdLazyList) list = list_new (source);

  td_lazy_list_set_keys (list, make_keys (0, TD_LAZY_PAGE * (TD_LAZY_CACHE + 1)));
  for (guint page = 0; page <= TD_LAZY_CACHE; page++)
    {
      g_object_unref (g_list_model_get_item (G_LIST_MODEL (list), page * TD_LAZY_PAGE));
      answer_all (list, source);
    }
  g_assert_cmpuint (source->asked, ==, TD_LAZY_CACHE + 1);
  g_object_unref (g_list_model_get_item (G_LIST_MODEL (list), TD_LAZY_PAGE * TD_LAZY_CACHE));
  g_assert_cmpuint (source->asked, ==, TD_LAZY_CACHE + 1); /* the newest is kept */
  g_object_unref (g_list_model_get_item (G_LIST_MODEL (list), 0));
  g_assert_cmpuint (source->asked, ==, TD_LAZY_CACHE + 2); /* the oldest is not */
}

static void
test_failed_page (void)
{
  Source *source = source_new ();
  g_autoptr (TdLazyList) list = list_new (source);
  g_autoptr (TdRow) item = NULL;

  td_lazy_list_set_keys (list, make_keys (0, 10));
  item = g_list_model_get_item (G_LIST_MODEL (list), 3);
  td_lazy_list_answer (list, g_ptr_array_steal_index (source->requests, 0), NULL);
  g_assert_null (td_row_get_value (item));
  g_object_unref (g_list_model_get_item (G_LIST_MODEL (list), 3));
  g_assert_cmpuint (source->asked, ==, 2);
  answer_all (list, source);
  g_assert_nonnull (td_row_get_value (item));
}

static void
count_cb (GObject *object, GParamSpec *pspec, gpointer user_data)
{
  ++*(guint *) user_data;
}

static void
test_new_snapshot (void)
{
  Source *source = source_new ();
  g_autoptr (TdLazyList) list = list_new (source);
  g_autoptr (TdListValidator) validator = NULL;
  g_autoptr (TdRow) stays = NULL;
  guint notified = 0;
  int days = 0;

  td_lazy_list_set_keys (list, make_keys (0, 600));
  validator = td_list_validator_new (G_LIST_MODEL (list));
  stays = g_list_model_get_item (G_LIST_MODEL (list), 500);
  answer_all (list, source);
  g_signal_connect (stays, "notify::days", G_CALLBACK (count_cb), &notified);

  /* The same rows again: nothing moves, but what the rows say is read anew. */
  source->generation = 3;
  td_lazy_list_set_keys (list, make_keys (0, 600));
  g_assert_cmpuint (td_list_validator_get_changes (validator), ==, 0);
  answer_all (list, source);
  g_object_get (stays, "days", &days, NULL);
  g_assert_cmpint (days, ==, 3);
  g_assert_cmpuint (notified, ==, 1);

  /* Rows go at the front and come at the end. */
  td_lazy_list_set_keys (list, make_keys (100, 600));
  g_assert_cmpuint (td_list_validator_get_changes (validator), ==, 1);
  answer_all (list, source);
  {
    g_autoptr (TdRow) there = g_list_model_get_item (G_LIST_MODEL (list), 400);

    g_assert_true (there == stays);
  }
  td_lazy_list_set_keys (list, make_keys (0, 0));
  g_assert_cmpuint (td_list_validator_get_changes (validator), ==, 2);
  td_lazy_list_set_keys (list, make_keys (0, 0));
  g_assert_cmpuint (td_list_validator_get_changes (validator), ==, 2);
}

static void
test_random_snapshots (void)
{
  Source *source = source_new ();
  g_autoptr (TdLazyList) list = list_new (source);
  g_autoptr (TdListValidator) validator G_GNUC_UNUSED = td_list_validator_new (G_LIST_MODEL (list));
  g_autoptr (GRand) rand = g_rand_new_with_seed (20260302);

  for (guint round = 0; round < 300; round++)
    {
      GArray *keys = g_array_new (FALSE, FALSE, sizeof (gint64));
      guint32 keep = g_rand_int_range (rand, 1, 8);

      for (gint64 key = 0; key < 700; key++)
        if ((guint32) g_rand_int_range (rand, 0, 8) < keep)
          g_array_append_val (keys, key);
      for (guint i = 0; round % 3 == 0 && i + 1 < keys->len; i += 2) /* and in another order */
        {
          gint64 swap = g_array_index (keys, gint64, i);

          g_array_index (keys, gint64, i) = g_array_index (keys, gint64, i + 1);
          g_array_index (keys, gint64, i + 1) = swap;
        }
      td_lazy_list_set_keys (list, keys);
      if (round % 2 == 0)
        answer_all (list, source);
    }
  answer_all (list, source);
}

static void
test_stale_answer (void)
{
  Source *source = source_new ();
  g_autoptr (TdLazyList) list = list_new (source);
  g_autoptr (TdRow) item = NULL;
  TdLazyRequest *stale;

  td_lazy_list_set_keys (list, make_keys (0, 10));
  item = g_list_model_get_item (G_LIST_MODEL (list), 3);
  stale = g_ptr_array_steal_index (source->requests, 0);
  td_lazy_list_set_keys (list, make_keys (5, 10));
  answer (list, source, stale);
  g_assert_null (td_row_get_value (item));
}

static void
test_items_outlive_the_list (void)
{
  Source *source = source_new ();
  TdLazyList *list = list_new (source);
  TdRow *item;
  gpointer gone_list = list, gone_item;

  g_object_add_weak_pointer (G_OBJECT (list), &gone_list);
  td_lazy_list_set_keys (list, make_keys (0, 10));
  item = g_list_model_get_item (G_LIST_MODEL (list), 3);
  answer_all (list, source);
  g_object_unref (list);
  g_assert_null (gone_list);
  g_assert_cmpint (td_row_get_key (item), ==, 3);
  g_assert_cmpstr (((TdRound *) td_row_get_value (item))->site, ==, "site 3");
  gone_item = item;
  g_object_add_weak_pointer (G_OBJECT (item), &gone_item);
  g_object_unref (item);
  g_assert_null (gone_item);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/lazy-list/pages", test_pages);
  g_test_add_func ("/lazy-list/cache-is-bounded", test_cache_is_bounded);
  g_test_add_func ("/lazy-list/failed-page", test_failed_page);
  g_test_add_func ("/lazy-list/new-snapshot", test_new_snapshot);
  g_test_add_func ("/lazy-list/random-snapshots", test_random_snapshots);
  g_test_add_func ("/lazy-list/stale-answer", test_stale_answer);
  g_test_add_func ("/lazy-list/items-outlive-the-list", test_items_outlive_the_list);
  return g_test_run ();
}
