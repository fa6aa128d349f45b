/* core-kind.h: the kinds of journal entry, their fields, and the check of a body.
 *
 * The table is core-kind.def (kinds) and core-kind-fields.c (fields): the one place where an act of a
 * visit is given its name and shape.  Bodies hold integers and strings only; a figure carries its unit
 * in its key, "_milli" meaning thousandths (ph_milli 7420 is pH 7.42). */
#pragma once

#include "core-json.h"

G_BEGIN_DECLS

typedef enum
{
#define TD_KIND_ROW(symbol, code, text) TD_KIND_##symbol,
#include "core-kind.def"
#undef TD_KIND_ROW
  TD_N_KINDS
} TdKind;

typedef enum
{
  TD_FIELD_TEXT,     /* one line, 1..500 characters */
  TD_FIELD_PROSE,    /* several lines, 1..4000 characters */
  TD_FIELD_CHOICE,   /* one of the words listed */
  TD_FIELD_INTEGER,  /* within minimum..maximum, unit in the key */
  TD_FIELD_LINE,     /* id of an outlet of the site */
  TD_FIELD_LINES,    /* array of at least one of them, none twice */
  TD_FIELD_CIRCUIT,  /* number of a circuit of the adopted plan */
  TD_FIELD_TOWER,
  TD_FIELD_COOLER,
  TD_FIELD_PRODUCT,  /* id of a product of the book */
  TD_FIELD_LOT,
  TD_FIELD_INSTRUMENT,
  TD_FIELD_TAG,      /* id that the person gives a tag within the visit */
  TD_FIELD_BATCH,    /* id that the person gives a mix within the visit */
  TD_FIELD_UUID,
  TD_FIELD_HASH,     /* 64 lower-case hex digits */
  TD_FIELD_MOMENT,   /* ISO 8601 with offset */
  TD_FIELD_TEXTS,    /* array of texts */
  TD_FIELD_STROKES,  /* array of strokes, each a flat array x, y, ms, x, y, ms, ... in 1/100 mm and ms */
  TD_FIELD_PLAN,     /* circuits and static lines, checked by its own reader */
  TD_FIELD_OBJECT    /* checked by its own reader (a correction's set, a closing's snapshot) */
} TdFieldType;

typedef struct
{
  const char *key;
  TdFieldType type;
  gboolean required;
  const char *choices; /* words parted by '|', for TD_FIELD_CHOICE */
  gint64 minimum;
  gint64 maximum;
  const char *text; /* what it says, for the documentation and the wizard's tooltip */
} TdField;

/* "tag-hung", as written in files. */
const char *td_kind_get_code (TdKind kind);
/* "Tag hung", for people; translatable (marked N_). */
const char *td_kind_get_text (TdKind kind);
gboolean td_kind_from_code (const char *code, TdKind *kind_out);
/* The fields of the kind; ends with a key of NULL. */
const TdField *td_kind_get_fields (TdKind kind);

/* The unit that the key of an integer names ("0.001 pH" for ph_milli), or NULL where it is a count. */
const char *td_field_get_unit (const TdField *field);

/* Checks the shape of a body: known keys only, required ones present, types, words, ranges, and what the
 * kind asks for beyond that ("exactly one of circuit and lines"). References to site and book are checked
 * when it is folded. Returns FALSE with TD_ERROR_SHAPE or TD_ERROR_RANGE naming the field. */
gboolean td_kind_check_body (TdKind kind, const TdJson *body, GError **error);

/* Returns: (transfer full): Markdown table of every kind with its fields, for DEVELOPERS.md; a test holds
 * the two together. */
char *td_kind_to_markdown (void);

G_END_DECLS
