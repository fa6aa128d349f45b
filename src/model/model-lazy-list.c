#include "model-lazy-list.h"

#include <string.h>

struct _TdLazyRequest
{
  guint serial; /* of the snapshot */
  guint page;
  guint n;
  gint64 keys[];
};

/* An item that somebody holds; begins with its key in the table. */
typedef struct
{
  gint64 key;
  TdLazyList *list;
} Live;

/* The values of one page. */
typedef struct
{
  guint page;
  guint n;
  gpointer *values;
} Page;

struct _TdLazyList
{
  GObject parent;
  GType item_type;
  TdRowClass *item_class;
  TdLazyFetch fetch;
  gpointer user_data;
  GDestroyNotify destroy;

  GArray *keys;
  guint serial;
  GHashTable *items;   /* Live -> TdRow, not held */
  GHashTable *waiting; /* page numbers asked for */
  GQueue pages;        /* Page, last used first */
};

static void
init_list_model (GListModelInterface *iface);

G_DEFINE_FINAL_TYPE_WITH_CODE (TdLazyList, td_lazy_list, G_TYPE_OBJECT,
                               G_IMPLEMENT_INTERFACE (G_TYPE_LIST_MODEL, init_list_model))

static void
free_page (TdLazyList *self, Page *page)
{
  for (guint i = 0; i < page->n; i++)
    if (page->values[i] != NULL)
      self->item_class->unref_value (page->values[i]);
  g_free (page->values);
  g_free (page);
}

static void
drop_pages (TdLazyList *self)
{
  Page *page;

  while ((page = g_queue_pop_head (&self->pages)) != NULL)
    free_page (self, page);
}

static Page *
find_page (TdLazyList *self, guint number)
{
  for (GList *l = self->pages.head; l != NULL; l = l->next)
    {
      Page *page = l->data;

      if (page->page != number)
        continue;
      g_queue_unlink (&self->pages, l);
      g_queue_push_head_link (&self->pages, l);
      return page;
    }
  return NULL;
}

static void
ask_for_page (TdLazyList *self, guint number)
{
  guint first = number * TD_LAZY_PAGE;
  guint n = MIN (TD_LAZY_PAGE, self->keys->len - first);
  TdLazyRequest *request;

  g_assert (first < self->keys->len);
  if (!g_hash_table_add (self->waiting, GUINT_TO_POINTER (number)))
    return;
  request = g_malloc (sizeof (TdLazyRequest) + n * sizeof (gint64));
  request->serial = self->serial;
  request->page = number;
  request->n = n;
  memcpy (request->keys, &g_array_index (self->keys, gint64, first), n * sizeof (gint64));
  self->fetch (self, request, self->user_data);
}

static void
item_gone_cb (gpointer data, GObject *item)
{
  Live *live = data;

  g_hash_table_remove (live->list->items, &live->key);
}

static TdRow *
make_item (TdLazyList *self, guint position, gint64 key)
{
  TdRow *item = g_object_new (self->item_type, "key", key, NULL);
  Live *live = g_new0 (Live, 1);
  Page *page;

  live->key = key;
  live->list = self;
  g_hash_table_insert (self->items, &live->key, item);
  g_object_weak_ref (G_OBJECT (item), item_gone_cb, live);
  page = find_page (self, position / TD_LAZY_PAGE);
  if (page == NULL)
    ask_for_page (self, position / TD_LAZY_PAGE);
  else if (page->values[position % TD_LAZY_PAGE] != NULL)
    td_row_set_value (item, page->values[position % TD_LAZY_PAGE]);
  return item;
}

static GType
get_item_type (GListModel *model)
{
  return TD_LAZY_LIST (model)->item_type;
}

static guint
get_n_items (GListModel *model)
{
  return TD_LAZY_LIST (model)->keys->len;
}

static gpointer
get_item (GListModel *model, guint position)
{
  TdLazyList *self = TD_LAZY_LIST (model);
  TdRow *item;
  gint64 key;

  if (position >= self->keys->len)
    return NULL;
  key = g_array_index (self->keys, gint64, position);
  item = g_hash_table_lookup (self->items, &key);
  if (item == NULL)
    return make_item (self, position, key);
  /* An item that stayed empty because its page could not be read gets another chance. */
  if (td_row_get_value (item) == NULL && find_page (self, position / TD_LAZY_PAGE) == NULL)
    ask_for_page (self, position / TD_LAZY_PAGE);
  return g_object_ref (item);
}

static void
init_list_model (GListModelInterface *iface)
{
  iface->get_item_type = get_item_type;
  iface->get_n_items = get_n_items;
  iface->get_item = get_item;
}

static void
td_lazy_list_finalize (GObject *object)
{
  TdLazyList *self = TD_LAZY_LIST (object);
  GHashTableIter iter;
  gpointer live, item;

  g_hash_table_iter_init (&iter, self->items);
  while (g_hash_table_iter_next (&iter, &live, &item))
    g_object_weak_unref (item, item_gone_cb, live);
  g_hash_table_unref (self->items);
  g_hash_table_unref (self->waiting);
  drop_pages (self);
  g_array_unref (self->keys);
  if (self->destroy != NULL)
    self->destroy (self->user_data);
  if (self->item_class != NULL)
    g_type_class_unref (self->item_class);
  G_OBJECT_CLASS (td_lazy_list_parent_class)->finalize (object);
}

static void
td_lazy_list_class_init (TdLazyListClass *klass)
{
  G_OBJECT_CLASS (klass)->finalize = td_lazy_list_finalize;
}

static void
td_lazy_list_init (TdLazyList *self)
{
  self->keys = g_array_new (FALSE, FALSE, sizeof (gint64));
  self->items = g_hash_table_new_full (g_int64_hash, g_int64_equal, g_free, NULL);
  self->waiting = g_hash_table_new (NULL, NULL);
  g_queue_init (&self->pages);
}

TdLazyList *
td_lazy_list_new (GType item_type, TdLazyFetch fetch, gpointer user_data, GDestroyNotify destroy)
{
  TdLazyList *self = g_object_new (TD_TYPE_LAZY_LIST, NULL);

  g_return_val_if_fail (g_type_is_a (item_type, TD_TYPE_ROW) && !G_TYPE_IS_ABSTRACT (item_type), self);
  g_return_val_if_fail (fetch != NULL, self);
  self->item_type = item_type;
  self->item_class = g_type_class_ref (item_type);
  self->fetch = fetch;
  self->user_data = user_data;
  self->destroy = destroy;
  return self;
}

/* Items that live on in the new snapshot have values of the old one: their pages are asked for. */
static void
refresh_live_items (TdLazyList *self)
{
  guint left = g_hash_table_size (self->items);

  for (guint i = 0; i < self->keys->len && left > 0; i++)
    {
      gint64 key = g_array_index (self->keys, gint64, i);

      if (g_hash_table_lookup (self->items, &key) == NULL)
        continue;
      left--;
      if (find_page (self, i / TD_LAZY_PAGE) == NULL)
        ask_for_page (self, i / TD_LAZY_PAGE);
    }
}

void
td_lazy_list_set_keys (TdLazyList *self, GArray *keys)
{
  g_autoptr (GArray) old = NULL;
  guint head = 0, tail = 0, shorter;

  g_return_if_fail (TD_IS_LAZY_LIST (self));
  g_return_if_fail (keys != NULL && g_array_get_element_size (keys) == sizeof (gint64));
  old = self->keys;
  shorter = MIN (old->len, keys->len);
  while (head < shorter && g_array_index (old, gint64, head) == g_array_index (keys, gint64, head))
    head++;
  while (tail < shorter - head
         && g_array_index (old, gint64, old->len - 1 - tail)
              == g_array_index (keys, gint64, keys->len - 1 - tail))
    tail++;

  self->keys = keys;
  self->serial++;
  g_hash_table_remove_all (self->waiting);
  drop_pages (self);
  if (head + tail < old->len || head + tail < keys->len)
    g_list_model_items_changed (G_LIST_MODEL (self), head, old->len - head - tail,
                                keys->len - head - tail);
  refresh_live_items (self);
}

const gint64 *
td_lazy_request_get_keys (const TdLazyRequest *request, guint *n_out)
{
  g_return_val_if_fail (request != NULL && n_out != NULL, NULL);
  *n_out = request->n;
  return request->keys;
}

void
td_lazy_request_free (TdLazyRequest *request)
{
  g_free (request);
}

void
td_lazy_list_answer (TdLazyList *self, TdLazyRequest *request, GPtrArray *values)
{
  g_autofree TdLazyRequest *owned G_GNUC_UNUSED = request;
  Page *page;

  g_return_if_fail (TD_IS_LAZY_LIST (self) && request != NULL);
  g_return_if_fail (values == NULL || values->len == request->n);
  if (request->serial != self->serial)
    return;
  g_hash_table_remove (self->waiting, GUINT_TO_POINTER (request->page));
  if (values == NULL)
    return;

  page = g_new0 (Page, 1);
  page->page = request->page;
  page->n = request->n;
  page->values = g_new0 (gpointer, request->n);
  for (guint i = 0; i < request->n; i++)
    if (g_ptr_array_index (values, i) != NULL)
      page->values[i] = self->item_class->ref_value (g_ptr_array_index (values, i));
  g_queue_push_head (&self->pages, page);
  if (self->pages.length > TD_LAZY_CACHE)
    free_page (self, g_queue_pop_tail (&self->pages));

  /* Notifying may run anything: what is touched is held, and the page may be gone afterwards. */
  for (guint i = 0; i < request->n; i++)
    {
      TdRow *live = g_hash_table_lookup (self->items, &request->keys[i]);
      g_autoptr (TdRow) item = live != NULL ? g_object_ref (live) : NULL;

      if (item != NULL && g_ptr_array_index (values, i) != NULL)
        td_row_set_value (item, g_ptr_array_index (values, i));
    }
}

guint
td_lazy_list_find (TdLazyList *self, gint64 key)
{
  g_return_val_if_fail (TD_IS_LAZY_LIST (self), G_MAXUINT);
  for (guint i = 0; i < self->keys->len; i++)
    if (g_array_index (self->keys, gint64, i) == key)
      return i;
  return G_MAXUINT;
}

gint64
td_lazy_list_get_key (TdLazyList *self, guint position)
{
  g_return_val_if_fail (TD_IS_LAZY_LIST (self), 0);
  return position < self->keys->len ? g_array_index (self->keys, gint64, position) : 0;
}
