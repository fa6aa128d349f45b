/* exchange-xml.h: a writer of XML 1.0, element by element, indented, UTF-8.
 *
 * What the names are is the caller's business; text and attributes are escaped, and what XML cannot hold
 * (control characters) becomes a space or U+FFFD.  The same calls give the same bytes. */
#pragma once

#include <glib.h>

G_BEGIN_DECLS

typedef struct _TdXml TdXml;

TdXml *td_xml_new (void);
void td_xml_free (TdXml *xml);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (TdXml, td_xml_free)

/* @name: kept until its end, so it must live as long.  @attributes: (nullable): pairs of name and value,
 * NULL-terminated. */
void td_xml_open (TdXml *xml, const char *name, const char *const *attributes);
void td_xml_close (TdXml *xml);
/* An element that holds text only; nothing where @text is NULL or blank. */
void td_xml_text (TdXml *xml, const char *name, const char *text);
/* The same with one attribute. */
void td_xml_text_with (TdXml *xml, const char *name, const char *attribute, const char *value, const char *text);
/* Ends the document; everything must be closed. Returns: (transfer full): its text. */
char *td_xml_finish (TdXml *xml);

G_END_DECLS
