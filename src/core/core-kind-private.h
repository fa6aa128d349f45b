/* core-kind-private.h: what the files of core-kind share: tables of fields and their check. */
#pragma once

#include "core-kind.h"

G_BEGIN_DECLS

/* Marks a text for translation; whoever shows it translates it. */
#define N_(text) text

/* Most lines that one act may name, and most elements of any other list. */
#define TD_FIELD_MAX_ELEMENTS 200
/* Characters in an id, a text and a prose. */
#define TD_FIELD_MAX_ID 100
#define TD_FIELD_MAX_TEXT 500
#define TD_FIELD_MAX_PROSE 4000
/* Points in all strokes of one signature: some minutes of a pen at 120 Hz. */
#define TD_FIELD_MAX_POINTS 50000
/* Greatest x, y (1/100 mm: one metre) and time (ms: one hour) of a point. */
#define TD_FIELD_MAX_COORDINATE 100000
#define TD_FIELD_MAX_STROKE_MS 3600000

/* The tables, parted by the stage of the visit; NULL where the kind stands in another part. */
const TdField *td_kind_fields_prepare (TdKind kind); /* arrive, plan, make safe */
const TdField *td_kind_fields_clean (TdKind kind);   /* mix, contact, rinse, put back */
const TdField *td_kind_fields_finish (TdKind kind);  /* check, sign */

/* What a kind asks for beyond its list of fields. */
typedef enum
{
  TD_CONDITION_ONE_OF, /* exactly one of key and other */
  TD_CONDITION_NEEDS,  /* key holds word: other is required */
  TD_CONDITION_UNLESS, /* key holds another word: other is required */
  TD_CONDITION_ONLY    /* other is allowed only where key holds word */
} TdConditionForm;

typedef struct
{
  TdKind kind;
  TdConditionForm form;
  const char *key;
  const char *word; /* NULL with ONE_OF */
  const char *other;
} TdCondition;

const TdCondition *td_kind_get_conditions (gsize *n_out);

/* Checks that @object is an object with the @fields (ended by a key of NULL) and no others. @place:
 * where it stands ("plan.circuits[1]."), or "" for a body; @owner: what it is, for the message
 * ("ph-read"). Returns FALSE with TD_ERROR_SHAPE or TD_ERROR_RANGE. */
gboolean td_fields_check_object (const TdField *fields,
                                 const char *place,
                                 const char *owner,
                                 const TdJson *object,
                                 GError **error);
/* Checks one value against its field. */
gboolean
td_field_check_value (const TdField *field, const char *place, const TdJson *value, GError **error);
/* Checks that @value is an array of @minimum..@maximum elements. */
gboolean td_field_check_array (const char *place,
                               const char *key,
                               const TdJson *value,
                               guint minimum,
                               guint maximum,
                               GError **error);

/* The readers of fields that are objects. */
gboolean td_kind_check_plan (const TdJson *plan, GError **error);
gboolean td_kind_check_predicted (const TdJson *predicted, GError **error);

G_END_DECLS
