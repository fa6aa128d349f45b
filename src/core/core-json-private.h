/* core-json-private.h: what the reader, the builder and the writer of JSON share. */
#pragma once

#include "core-json.h"

G_BEGIN_DECLS

typedef struct
{
  char *text;
  guint line; /* 0 in a built value */
  guint column;
} TdJsonKey;

/* Invariants: depth <= TD_JSON_MAX_DEPTH, so that recursion over a value is bounded; keys of an object
 * are pairwise different; order holds the indices of the keys sorted by byte. */
struct _TdJson
{
  gatomicrefcount ref_count;
  TdJsonType kind;
  guint line;
  guint column;
  guint depth;  /* 0 for a plain value, otherwise 1 + the deepest element's */
  guint length; /* of an array or object */
  union
  {
    gboolean boolean;
    gint64 integer;
    double real;
    char *string;
    struct
    {
      TdJson **elements;
      TdJsonKey *keys; /* NULL in an array */
      guint *order;    /* NULL in an array */
    } items;
  } u;
};

/* Returns: (transfer full): a value whose content is to be filled in. */
TdJson *td_json_new (TdJsonType kind, guint line, guint column);

/* Makes an array, or an object where @keys is given.  Empties @elements (of TdJson *) and @keys (of
 * TdJsonKey).  Returns: (transfer full): the value, or NULL where a key stands twice: then @doubled_out
 * is the index of the first repetition and @elements and @keys are as they were. */
TdJson *td_json_new_items (GPtrArray *elements, GArray *keys, guint line, guint column,
                           guint *doubled_out);

/* A GArray of TdJsonKey that frees its texts. */
GArray *td_json_keys_new (void);

G_END_DECLS
