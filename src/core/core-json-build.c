#include "core-json-build.h"

#include <math.h>

#include "core-json-private.h"
#include "core-json-write.h"

/* An array or object that is being filled. */
typedef struct
{
  GPtrArray *elements;
  GArray *keys; /* NULL in an array */
} Frame;

struct _TdJsonBuilder
{
  GArray *frames; /* of Frame, outermost first */
  TdJson *root;   /* the finished value */
};

static void
clear_frame (gpointer data)
{
  Frame *frame = data;

  g_clear_pointer (&frame->elements, g_ptr_array_unref);
  g_clear_pointer (&frame->keys, g_array_unref);
}

TdJsonBuilder *
td_json_builder_new (void)
{
  TdJsonBuilder *builder = g_new0 (TdJsonBuilder, 1);

  builder->frames = g_array_new (FALSE, FALSE, sizeof (Frame));
  g_array_set_clear_func (builder->frames, clear_frame);
  return builder;
}

void
td_json_builder_free (TdJsonBuilder *builder)
{
  g_return_if_fail (builder != NULL);
  g_array_unref (builder->frames);
  g_clear_pointer (&builder->root, td_json_unref);
  g_free (builder);
}

static Frame *
top_frame (TdJsonBuilder *builder)
{
  if (builder->frames->len == 0)
    return NULL;
  return &g_array_index (builder->frames, Frame, builder->frames->len - 1);
}

/* Puts a value where the next one is due. */
static void
add_value (TdJsonBuilder *builder, TdJson *value)
{
  Frame *frame = top_frame (builder);

  if (frame == NULL)
    {
      g_assert (builder->root == NULL);
      builder->root = value;
      return;
    }
  g_assert (frame->keys == NULL || frame->keys->len == frame->elements->len + 1);
  g_ptr_array_add (frame->elements, value);
}

static void
begin (TdJsonBuilder *builder, gboolean object)
{
  const Frame *outer = top_frame (builder);
  Frame frame;

  g_assert (builder->root == NULL);
  g_assert (builder->frames->len < TD_JSON_MAX_DEPTH);
  g_assert (outer == NULL || outer->keys == NULL || outer->keys->len == outer->elements->len + 1);
  frame.elements = g_ptr_array_new_with_free_func ((GDestroyNotify) td_json_unref);
  frame.keys = object ? td_json_keys_new () : NULL;
  g_array_append_val (builder->frames, frame);
}

void
td_json_builder_begin_object (TdJsonBuilder *builder)
{
  begin (builder, TRUE);
}

void
td_json_builder_begin_array (TdJsonBuilder *builder)
{
  begin (builder, FALSE);
}

void
td_json_builder_end (TdJsonBuilder *builder)
{
  const Frame *frame = top_frame (builder);
  guint doubled = 0;
  TdJson *value;

  g_assert (frame != NULL);
  value = td_json_new_items (frame->elements, frame->keys, 0, 0, &doubled);
  if (value == NULL)
    g_error ("the key \"%s\" is built twice", g_array_index (frame->keys, TdJsonKey, doubled).text);
  g_array_set_size (builder->frames, builder->frames->len - 1);
  add_value (builder, value);
}

void
td_json_builder_key (TdJsonBuilder *builder, const char *key)
{
  const Frame *frame = top_frame (builder);
  TdJsonKey entry = { NULL, 0, 0 };

  g_assert (frame != NULL && frame->keys != NULL);
  g_assert (frame->keys->len == frame->elements->len);
  g_assert (key != NULL && g_utf8_validate (key, -1, NULL));
  entry.text = g_strdup (key);
  g_array_append_val (frame->keys, entry);
}

void
td_json_builder_null (TdJsonBuilder *builder)
{
  add_value (builder, td_json_new (TD_JSON_NULL, 0, 0));
}

void
td_json_builder_boolean (TdJsonBuilder *builder, gboolean value)
{
  TdJson *json = td_json_new (TD_JSON_BOOLEAN, 0, 0);

  json->u.boolean = !!value;
  add_value (builder, json);
}

void
td_json_builder_integer (TdJsonBuilder *builder, gint64 value)
{
  TdJson *json = td_json_new (TD_JSON_INTEGER, 0, 0);

  json->u.integer = value;
  add_value (builder, json);
}

void
td_json_builder_real (TdJsonBuilder *builder, double value, int decimals)
{
  TdJson *json;

  g_assert (decimals >= -1 && decimals <= 15);
  if (!isfinite (value))
    {
      td_json_builder_null (builder);
      return;
    }
  json = td_json_new (TD_JSON_REAL, 0, 0);
  json->u.real = decimals < 0 ? value : td_json_round (value, decimals);
  add_value (builder, json);
}

void
td_json_builder_string (TdJsonBuilder *builder, const char *value)
{
  TdJson *json;

  if (value == NULL)
    {
      td_json_builder_null (builder);
      return;
    }
  g_assert (g_utf8_validate (value, -1, NULL));
  json = td_json_new (TD_JSON_STRING, 0, 0);
  json->u.string = g_strdup (value);
  add_value (builder, json);
}

void
td_json_builder_value (TdJsonBuilder *builder, TdJson *value)
{
  g_assert (value != NULL);
  add_value (builder, td_json_ref (value));
}

void
td_json_builder_member_null (TdJsonBuilder *builder, const char *key)
{
  td_json_builder_key (builder, key);
  td_json_builder_null (builder);
}

void
td_json_builder_member_boolean (TdJsonBuilder *builder, const char *key, gboolean value)
{
  td_json_builder_key (builder, key);
  td_json_builder_boolean (builder, value);
}

void
td_json_builder_member_integer (TdJsonBuilder *builder, const char *key, gint64 value)
{
  td_json_builder_key (builder, key);
  td_json_builder_integer (builder, value);
}

void
td_json_builder_member_real (TdJsonBuilder *builder, const char *key, double value, int decimals)
{
  td_json_builder_key (builder, key);
  td_json_builder_real (builder, value, decimals);
}

void
td_json_builder_member_string (TdJsonBuilder *builder, const char *key, const char *value)
{
  td_json_builder_key (builder, key);
  td_json_builder_string (builder, value);
}

void
td_json_builder_member_value (TdJsonBuilder *builder, const char *key, TdJson *value)
{
  td_json_builder_key (builder, key);
  td_json_builder_value (builder, value);
}

TdJson *
td_json_builder_finish (TdJsonBuilder *builder)
{
  g_assert (builder->frames->len == 0);
  g_assert (builder->root != NULL);
  return g_steal_pointer (&builder->root);
}

void
td_json_builder_member_known (TdJsonBuilder *builder, const char *key, gint64 value)
{
  if (value < 0)
    td_json_builder_member_null (builder, key);
  else
    td_json_builder_member_integer (builder, key, value);
}

void
td_json_builder_member_date (TdJsonBuilder *builder, const char *key, TdDate date)
{
  g_autofree char *text = date != TD_DATE_NONE ? td_date_to_text (date) : NULL;

  td_json_builder_member_string (builder, key, text);
}
