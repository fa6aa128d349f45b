/* document-language.h: words of a document in a language that need not be the program's.
 *
 * Reads the program's own translations (the .mo files of gettext: GNU gettext manual, "The Format of GNU MO
 * Files") for one language, so that what hangs in a bar speaks the language of its staff whatever the person
 * at the screen reads.  Nothing of the process changes; safe from any thread. */
#pragma once

#include <glib.h>

G_BEGIN_DECLS

typedef struct _TdLanguage TdLanguage;

/* @tag: (nullable): BCP 47, "de", "pt-BR"; NULL is the program's own, as gettext has it.  The region is left
 * out where there is no translation with it.
 * @folder: (nullable): of translations, FOLDER/de/LC_MESSAGES/tundish.mo; NULL where the program's are.
 * Returns: (transfer full): always a language; one without a translation speaks English. */
TdLanguage *td_language_new (const char *tag, const char *folder);
void td_language_free (TdLanguage *language);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (TdLanguage, td_language_free)

/* The words of @english in the language; @english where they are not translated. Lives as long as both. */
const char *td_language_say (const TdLanguage *language, const char *english);
/* The tag of what is spoken: "en" where nothing was found. */
const char *td_language_get_tag (const TdLanguage *language);

G_END_DECLS
