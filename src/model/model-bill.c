#include "model-bill.h"

#include <string.h>

static void
append_folded (GString *folded, const char *text)
{
  g_autofree char *one = text != NULL ? g_utf8_casefold (text, -1) : NULL;

  if (one != NULL)
    g_string_append_printf (folded, "%s\n", one);
}

TdBill *
td_bill_new (const TdBill *template_)
{
  TdBill *bill = g_atomic_rc_box_new0 (TdBill);
  GString *folded = g_string_new (NULL);

  *bill = *template_;
  bill->id = g_strdup (template_->id);
  bill->number = g_strdup (template_->number);
  bill->who = g_strdup (template_->who);
  bill->account = g_strdup (template_->account);
  bill->account_id = g_strdup (template_->account_id);
  bill->currency = g_strdup (template_->currency);
  bill->text = g_strdup (template_->text);
  append_folded (folded, bill->number);
  append_folded (folded, bill->who);
  append_folded (folded, bill->account);
  append_folded (folded, bill->text);
  bill->folded = g_string_free (folded, FALSE);
  return bill;
}

TdBill *
td_bill_ref (TdBill *bill)
{
  return g_atomic_rc_box_acquire (bill);
}

static void
clear_bill (gpointer data)
{
  TdBill *bill = data;

  g_free (bill->id);
  g_free (bill->number);
  g_free (bill->who);
  g_free (bill->account);
  g_free (bill->account_id);
  g_free (bill->currency);
  g_free (bill->text);
  g_free (bill->folded);
}

void
td_bill_unref (TdBill *bill)
{
  g_atomic_rc_box_release_full (bill, clear_bill);
}

#define COMPARE(a, b) (((a) > (b)) - ((a) < (b)))

int
td_bill_compare (const TdBill *a, const TdBill *b, TdBillsOrder order)
{
  int result = 0;

  switch (order)
    {
    case TD_BILLS_NEWEST:
      result = COMPARE (b->date, a->date);
      break;
    case TD_BILLS_OLDEST:
      result = COMPARE (a->date, b->date);
      break;
    case TD_BILLS_BY_WHO:
      result = g_strcmp0 (a->who, b->who);
      break;
    case TD_BILLS_BY_SUM:
      result = COMPARE (b->total_minor, a->total_minor);
      break;
    case TD_BILLS_BY_URGENCY:
    default:
      result = COMPARE (b->days, a->days);
      if (result == 0)
        result = COMPARE (a->due, b->due);
    }
  return result != 0 ? result : g_strcmp0 (a->id, b->id);
}

gboolean
td_bill_matches (const TdBill *bill, char *const *words)
{
  for (guint i = 0; words[i] != NULL; i++)
    if (strstr (bill->folded, words[i]) == NULL)
      return FALSE;
  return TRUE;
}

struct _TdBillItem
{
  TdRow parent;
};

G_DEFINE_FINAL_TYPE (TdBillItem, td_bill_item, TD_TYPE_ROW)

enum
{
  PROP_0,
  PROP_ID,
  PROP_NUMBER,
  PROP_WHO,
  PROP_ACCOUNT,
  PROP_CURRENCY,
  PROP_TEXT,
  PROP_STATE,
  PROP_TOTAL_MINOR,
  PROP_OPEN_MINOR,
  PROP_DATE,
  PROP_DUE,
  PROP_DAYS,
  PROP_COUNT,
  N_PROPS
};

static GParamSpec *properties[N_PROPS];

static const char *
get_string (const TdBill *bill, guint id)
{
  switch (id)
    {
    case PROP_ID:
      return bill->id;
    case PROP_NUMBER:
      return bill->number;
    case PROP_WHO:
      return bill->who;
    case PROP_ACCOUNT:
      return bill->account;
    case PROP_CURRENCY:
      return bill->currency;
    default:
      return bill->text;
    }
}

static void
get_loaded (const TdBill *bill, guint id, GValue *value, GObject *object, GParamSpec *pspec)
{
  switch (id)
    {
    case PROP_STATE:
      g_value_set_int (value, (int) bill->state);
      break;
    case PROP_TOTAL_MINOR:
      g_value_set_int64 (value, bill->total_minor);
      break;
    case PROP_OPEN_MINOR:
      g_value_set_int64 (value, bill->open_minor);
      break;
    case PROP_DATE:
      g_value_set_int (value, bill->date);
      break;
    case PROP_DUE:
      g_value_set_int (value, bill->due);
      break;
    case PROP_DAYS:
      g_value_set_int (value, bill->days);
      break;
    case PROP_COUNT:
      g_value_set_uint (value, bill->count);
      break;
    default:
      G_OBJECT_WARN_INVALID_PROPERTY_ID (object, id, pspec);
    }
}

static void
td_bill_item_get_property (GObject *object, guint id, GValue *value, GParamSpec *pspec)
{
  const TdBill *bill = td_row_get_value (TD_ROW (object));

  if (bill == NULL)
    g_param_value_set_default (pspec, value);
  else if (id <= PROP_TEXT)
    g_value_set_string (value, get_string (bill, id));
  else
    get_loaded (bill, id, value, object, pspec);
}

static void
td_bill_item_class_init (TdBillItemClass *klass)
{
  static const char *const strings[] = { NULL, "id", "number", "who", "account", "currency", "text" };
  TdRowClass *item_class = TD_ROW_CLASS (klass);
  const GParamFlags flags = G_PARAM_READABLE | G_PARAM_STATIC_STRINGS;

  G_OBJECT_CLASS (klass)->get_property = td_bill_item_get_property;
  item_class->ref_value = (gpointer (*) (gpointer)) td_bill_ref;
  item_class->unref_value = (void (*) (gpointer)) td_bill_unref;
  for (guint i = PROP_ID; i <= PROP_TEXT; i++)
    properties[i] = g_param_spec_string (strings[i], NULL, NULL, NULL, flags);
  properties[PROP_STATE] = g_param_spec_int ("state", NULL, NULL, 0, TD_BILL_N_STATES - 1, TD_BILL_PAID, flags);
  properties[PROP_TOTAL_MINOR]
    = g_param_spec_int64 ("total-minor", NULL, NULL, G_MININT64, G_MAXINT64, 0, flags);
  properties[PROP_OPEN_MINOR] = g_param_spec_int64 ("open-minor", NULL, NULL, G_MININT64, G_MAXINT64, 0, flags);
  properties[PROP_DATE] = g_param_spec_int ("date", NULL, NULL, G_MININT, G_MAXINT, TD_DATE_NONE, flags);
  properties[PROP_DUE] = g_param_spec_int ("due", NULL, NULL, G_MININT, G_MAXINT, TD_DATE_NONE, flags);
  properties[PROP_DAYS] = g_param_spec_int ("days", NULL, NULL, G_MININT, G_MAXINT, 0, flags);
  properties[PROP_COUNT] = g_param_spec_uint ("count", NULL, NULL, 0, G_MAXUINT, 0, flags);
  td_row_class_install (item_class, properties, N_PROPS);
}

static void
td_bill_item_init (TdBillItem *self)
{
}
