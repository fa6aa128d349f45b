/* core-error.h: the error domain of core. */
#pragma once

#include <glib.h>

G_BEGIN_DECLS

#define TD_ERROR (td_error_quark ())

/* What went wrong, in a form a test can name.  The message is a sentence for a person that names the
 * place (line and column, field, line number of the site) and the remedy. */
typedef enum
{
  TD_ERROR_PARSE,      /* text that is not what its format requires */
  TD_ERROR_SHAPE,      /* an unknown, missing or wrongly typed key */
  TD_ERROR_RANGE,      /* a number outside its range of validity */
  TD_ERROR_REFERENCE,  /* a name that stands for nothing (a line not at this site, an unknown product) */
  TD_ERROR_IMPOSSIBLE, /* an act that cannot have happened, such as removing a tag never hung */
  TD_ERROR_STOP,       /* closing while a finding of severity stop stands open */
  TD_ERROR_INFEASIBLE  /* a question without an answer: a pin that allows no plan, a network with no flow */
} TdError;

GQuark td_error_quark (void);

G_END_DECLS
