/* core-safety.h: what the labels of chemicals say, by the codes of the CLP regulation: classes, hazard and
 * precautionary statements, and beside them what to wear and what never to bring together.
 *
 * The words are those that cleaners of beer lines and their sanitisers bear; core-safety.def names the
 * sources.  The label and the safety data sheet of the very product decide. */
#pragma once

#include "core-masters.h"

G_BEGIN_DECLS

/* Key of the part in the company file and in snapshots: "classes", "hazards", "precautions", "protection",
 * "never_with". */
const char *td_safety_part_to_text (TdSafetyPart part);

typedef struct
{
  TdSafetyPart part;
  const char *code; /* "H314", "skin-corr-1b", "gloves" */
  const char *text; /* translatable */
} TdSafetyWord;

/* Returns: (transfer none) (nullable): the word with that code; NULL where the part has none. */
const TdSafetyWord *td_safety_find (TdSafetyPart part, const char *code);
/* Returns: (transfer none): all of a part, in the order of the regulation. */
const TdSafetyWord *td_safety_list (TdSafetyPart part, guint *n_out);

/* TRUE where a class of the product asks for the word Danger, FALSE where for Warning or none. */
gboolean td_product_is_danger (const TdProduct *product);

/* The class of a solution of a known substance for skin and eyes, by the specific concentration limits of
 * CLP annex VI.  @substance: "naoh", "koh", "h3po4". @percent_milli: 0.001 % w/w.
 * Returns: (transfer none) (nullable): the code of the class ("skin-corr-1b"); NULL below every limit or for
 * a substance that the table does not have: then it says nothing about the solution. */
const char *td_safety_get_solution_class (const char *substance, gint64 percent_milli);
/* Returns: (transfer none): the hazard statement of a class ("H314"). @code: of a class, as above. */
const char *td_safety_get_hazard (const char *code);

typedef const char *(*TdTranslate) (const char *text);
/* The texts of codes, one after the other with @separator between, statements led by their code: "H290 May be
 * corrosive to metals. H314 ...".  A code that is not known stands for itself. @translate: of the texts.
 * Returns: (transfer full) (nullable): NULL where there are no codes. */
char *td_safety_describe (TdSafetyPart part, char *const *codes, const char *separator, TdTranslate translate);

/* Codes as the book keeps them, one after the other with a blank between; NULL where there are none.
 * Unknown codes of an older or newer book are kept as they are. */
char *td_safety_join (char *const *codes);
/* Returns: (transfer full) (nullable). @text: (nullable). */
char **td_safety_split (const char *text);

G_END_DECLS
