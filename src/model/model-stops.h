/* model-stops.h: findings gathered by rule: what stands open is read rule by rule, with the lines that it is
 * about, not line by line. */
#pragma once

#include "core-guard.h"
#include "core-rule.h"
#include "core-visit.h"

G_BEGIN_DECLS

typedef struct
{
  TdRuleId rule;
  guint n;         /* findings */
  int outlet;      /* of the first, -1 where it names none */
  int circuit;     /* of the first, 0 where it names none */
  GArray *outlets; /* guint: every line that one of them names, once */
  char *text;      /* the finding where there is one, else the rule's sentence */
  char *lines;     /* "Tower A 1, 2": NULL where none is named, or the text says it */
  TdKind remedy;   /* the act that mends a stop */
} TdStopGroup;

void td_stop_group_free (TdStopGroup *group);
/* @findings: (element-type TdFinding). Those of @severity for which no reason was given, in the order of the
 * first of each rule. (transfer full) (element-type TdStopGroup) */
GPtrArray *td_stop_groups_new (const TdVisit *visit, const GPtrArray *findings, TdSeverity severity);

G_END_DECLS
