/* core-network-private.h: how a network is laid out; for the files of core-network alone. */
#pragma once

#include "core-network.h"

G_BEGIN_DECLS

typedef enum
{
  PART_BRANCH, /* a chain: its members follow; the whole network is part 0 */
  PART_TUBE,
  PART_PARALLEL, /* its branches follow */
  PART_OPEN
} PartKind;

/* Parts stand in the order of flow with a group before its members, so that a loop from the front visits
 * parents first and a loop from the back children first: no recursion. */
typedef struct
{
  PartKind kind;
  guint parent;
  guint end;          /* index past the last part inside it */
  guint n_members;    /* direct ones */
  double rise_m;      /* from its start to its end; of an open group: to its lowest outlet */
  gboolean terminal;  /* a branch that ends outside: terminal_m is the head there */
  double terminal_m;
  char *id;           /* tubes only */
  TdPipe pipe;        /* tubes only */
} Part;

struct _TdNetwork
{
  gatomicrefcount refs;
  TdNetworkFrame frame;
  guint n_tubes;
  guint n_parts;
  Part *parts;
  double lowest_terminal_m; /* the head above which something flows */
  double lowest_m;          /* height of the lowest point */
};

G_END_DECLS
