/* model-form-type.h: what the forms of master data ask for, as tables.
 *
 * A form type describes one kind of object of the files (a technician, a site, a line, a piece of tube): its
 * fields in order, how each is shown and typed, and the check of core that the whole must pass.  Whoever adds
 * a field to a file adds one row here. */
#pragma once

#include "core-json.h"
#include "core-settings.h"
#include "core-units.h"

G_BEGIN_DECLS

typedef enum
{
  TD_FORM_TEXT,
  TD_FORM_PROSE,     /* several lines */
  TD_FORM_KEY,       /* an id that nobody sees: kept as it is */
  TD_FORM_ID,        /* an id that people use; proposed, fixed once it is in the book */
  TD_FORM_CHOICE,    /* one of `codes` */
  TD_FORM_REFERENCE, /* id of a row elsewhere: of the list `refers` of the same form, or handed in */
  TD_FORM_DATE,      /* "2026-03-02" */
  TD_FORM_WHOLE,     /* an integer, in `unit` */
  TD_FORM_DECIMAL,   /* an integer of thousandths, shown as a decimal number in `unit` */
  TD_FORM_QUANTITY,  /* a number in the quantity's own unit, typed in any */
  TD_FORM_STORED,    /* an integer in the quantity's stored unit, typed in any */
  TD_FORM_SWITCH,    /* true, or left out */
  TD_FORM_CODES,     /* an array of texts, typed with commas between */
  TD_FORM_ITEMS       /* an array of objects of the form type `items` */
} TdFormKind;

typedef struct _TdFormType TdFormType;

typedef struct
{
  const char *key; /* in the object; "site.zone" stands in an object "site" within; such fields stand together */
  const char *label;
  const char *hint; /* shown beneath; NULL where none is needed */
  TdFormKind kind;
  gboolean required; /* of a list: written even while it is empty */
  gboolean is_signed; /* a length that may be below zero */
  const char *const *codes; /* (array zero-terminated=1) of a choice */
  const char *const *words; /* as many, to be translated */
  TdQuantity quantity;
  const char *unit;
  const char *fallback; /* what holds while nothing is entered, as it is shown; NULL */
  const TdFormType *items;
  const char *refers;
} TdFormField;

/* Values that are filled in together. */
typedef struct
{
  char *label; /* translated where it is a word */
  char *values; /* an object: keys of the form and their values */
} TdFormPreset;

struct _TdFormType
{
  const char *title;     /* "Technician" */
  const char *plural;    /* "Technicians" */
  const char *new_title; /* "New technician" */
  const char *prefix;    /* of an id that is proposed, "L"; NULL where none is */
  const TdFormField *fields;
  guint n_fields;
  const char *const *title_keys;   /* (array zero-terminated=1): the first that holds something is the row's title */
  const char *const *summary_keys; /* (array zero-terminated=1) (nullable): what else a row shows */
  gboolean as_array;     /* the object is an array of its fields' values in order, all of them given */
  const char *head;      /* what stands before the object in a file of its own, "" where it is the file */
  const char *tail;
  gboolean (*check) (const TdJson *file, GError **error); /* of such a file; NULL for parts of others */
  const char *presets_label; /* NULL where there are none */
  const TdFormPreset *(*get_presets) (guint *n_out);
};

extern const TdFormType td_form_company;
extern const TdFormType td_form_account;
extern const TdFormType td_form_technician;
extern const TdFormType td_form_instrument;
extern const TdFormType td_form_product; /* refers to nothing */
extern const TdFormType td_form_lot;     /* refers to "products" */
extern const TdFormType td_form_site;    /* refers to "accounts"; holds all below */
extern const TdFormType td_form_cooler;
extern const TdFormType td_form_tower;
extern const TdFormType td_form_line;
extern const TdFormType td_form_side_faucet;
extern const TdFormType td_form_segment;
extern const TdFormType td_form_curve_point;
/* The figures that govern the work: an object of the settings' keys, what is not in it holds by default.
 * (transfer none). */
const TdFormType *td_form_get_figures (void);
/* The settings of such an object in the order of TdSettingId; @set_out: which it names, TD_N_SETTINGS of each.
 * FALSE with TD_ERROR_RANGE. */
gboolean td_form_read_figures (const TdJson *json, gint64 *values, gboolean *set_out, GError **error);
/* The object of all that differ from the defaults. (transfer full) */
TdJson *td_form_write_figures (const TdSettings *settings);

/* Index of the field with that key, or -1. */
int td_form_type_find (const TdFormType *type, const char *key);
/* Title of a row as its object tells it, and the rest that a list shows, parted by middle dots; "" where
 * there is nothing. (transfer full) */
char *td_form_type_make_title (const TdFormType *type, const TdJson *json);
char *td_form_type_make_summary (const TdFormType *type, const TdJson *json, const TdUnitStyle *style);
/* A value as a person types it: "1/4 in", "30 %", "2026-03-02"; of a choice its code; "" for NULL.
 * (transfer full) */
char *td_form_field_format (const TdFormField *field, const TdJson *value, const TdUnitStyle *style);
/* The same as a reader sees it: a choice by its word. (transfer full) */
char *td_form_field_show (const TdFormField *field, const TdJson *value, const TdUnitStyle *style);
/* Appends the value of @text as JSON; nothing where @text is empty.  FALSE with TD_ERROR_PARSE or
 * TD_ERROR_RANGE that says what would do. */
gboolean td_form_field_parse (const TdFormField *field,
                              const char *text,
                              const TdUnitStyle *style,
                              GString *json,
                              GError **error);
/* The value at a key of the form, "site.zone" too; NULL where there is none. */
const TdJson *td_form_find_value (const TdJson *json, const char *key);

G_END_DECLS
