#include "core-network.h"

#include "core-error.h"
#include "core-network-private.h"

#include <math.h>

/* Rises of parallel branches may differ by this much, the rounding of a sheet's figures. */
#define RISE_TOLERANCE_M 1e-6

struct _TdNetworkBuilder
{
  TdNetworkFrame frame;
  GArray *parts; /* of Part */
  guint open;    /* the innermost part that is not ended; 0 is the whole chain */
  GHashTable *ids;
};

static void
clear_part (gpointer data)
{
  g_free (((Part *)data)->id);
}

static Part *
get_part (TdNetworkBuilder *builder, guint index)
{
  return &g_array_index (builder->parts, Part, index);
}

static void
add_part (TdNetworkBuilder *builder, const Part *part)
{
  Part copy = *part;

  copy.parent = builder->open;
  g_array_append_val (builder->parts, copy);
}

TdNetworkBuilder *
td_network_builder_new (const TdNetworkFrame *frame)
{
  TdNetworkBuilder *builder;
  Part whole = { .kind = PART_BRANCH };

  g_return_val_if_fail (frame != NULL && frame->pump != NULL, NULL);

  builder = g_new0 (TdNetworkBuilder, 1);
  builder->frame = *frame;
  td_pump_ref (builder->frame.pump);
  builder->parts = g_array_new (FALSE, TRUE, sizeof (Part));
  g_array_set_clear_func (builder->parts, clear_part);
  builder->ids = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, NULL);
  add_part (builder, &whole);

  return builder;
}

void
td_network_builder_free (TdNetworkBuilder *builder)
{
  g_return_if_fail (builder != NULL);
  td_pump_unref (builder->frame.pump);
  g_array_unref (builder->parts);
  g_hash_table_unref (builder->ids);
  g_free (builder);
}

/* A member may be added where a branch stands open that does not end in the open already. */
static gboolean
check_chain (TdNetworkBuilder *builder, const char *what, GError **error)
{
  Part *open = get_part (builder, builder->open);
  Part *last = get_part (builder, builder->parts->len - 1);

  if (open->kind != PART_BRANCH)
    {
      g_set_error (error, TD_ERROR, TD_ERROR_SHAPE, "%s stands outside the branches of its group",
                   what);
      return FALSE;
    }
  for (guint i = builder->open + 1; i < builder->parts->len; i = get_part (builder, i)->end)
    last = get_part (builder, i);
  if (open->n_members > 0 && last->kind == PART_OPEN)
    {
      g_set_error (error, TD_ERROR, TD_ERROR_SHAPE,
                   "%s follows an open group, whose branches end in the air: nothing can follow it",
                   what);
      return FALSE;
    }

  return TRUE;
}

gboolean
td_network_builder_tube (TdNetworkBuilder *builder,
                         const char *id,
                         const TdPipeShape *shape,
                         double rise_m,
                         GError **error)
{
  g_autofree char *what = g_strdup_printf ("Tube %s", id);
  Part part = { .kind = PART_TUBE, .rise_m = rise_m };

  g_return_val_if_fail (builder != NULL && id != NULL && shape != NULL, FALSE);

  if (!check_chain (builder, what, error))
    return FALSE;
  if (*id == '\0' || g_hash_table_contains (builder->ids, id))
    {
      g_set_error (error, TD_ERROR, TD_ERROR_SHAPE,
                   *id == '\0' ? "A tube has an empty id%s" : "Two tubes have the id %s", id);
      return FALSE;
    }
  if (!isfinite (rise_m))
    {
      g_set_error (error, TD_ERROR, TD_ERROR_RANGE, "%s: a rise of %g m is not possible", what,
                   rise_m);
      return FALSE;
    }
  if (!td_pipe_init (&part.pipe, shape, &builder->frame.fluid, error))
    {
      g_prefix_error (error, "%s: ", what);
      return FALSE;
    }
  part.id = g_strdup (id);
  part.end = builder->parts->len + 1;
  get_part (builder, builder->open)->n_members++;
  get_part (builder, builder->open)->rise_m += rise_m;
  add_part (builder, &part);
  g_hash_table_add (builder->ids, g_strdup (id));

  return TRUE;
}

static gboolean
begin_group (TdNetworkBuilder *builder, PartKind kind, GError **error)
{
  const char *what = kind == PART_OPEN ? "An open group" : "A parallel group";
  Part part = { .kind = kind };

  if (!check_chain (builder, what, error))
    return FALSE;
  for (guint i = builder->open; kind == PART_OPEN && i > 0; i = get_part (builder, i)->parent)
    if (get_part (builder, i)->kind == PART_PARALLEL)
      {
        g_set_error_literal (
            error, TD_ERROR, TD_ERROR_SHAPE,
            "An open group stands inside a parallel one, whose branches must rejoin");
        return FALSE;
      }
  get_part (builder, builder->open)->n_members++;
  add_part (builder, &part);
  builder->open = builder->parts->len - 1;

  return TRUE;
}

gboolean
td_network_builder_begin_parallel (TdNetworkBuilder *builder, GError **error)
{
  g_return_val_if_fail (builder != NULL, FALSE);

  return begin_group (builder, PART_PARALLEL, error);
}

gboolean
td_network_builder_begin_open (TdNetworkBuilder *builder, GError **error)
{
  g_return_val_if_fail (builder != NULL, FALSE);

  return begin_group (builder, PART_OPEN, error);
}

gboolean
td_network_builder_begin_branch (TdNetworkBuilder *builder, GError **error)
{
  Part part = { .kind = PART_BRANCH };

  g_return_val_if_fail (builder != NULL, FALSE);

  if (get_part (builder, builder->open)->kind == PART_BRANCH)
    {
      g_set_error_literal (error, TD_ERROR, TD_ERROR_SHAPE, "A branch stands outside any group");
      return FALSE;
    }
  get_part (builder, builder->open)->n_members++;
  add_part (builder, &part);
  builder->open = builder->parts->len - 1;

  return TRUE;
}

/* The rise of a group: the common one of a parallel group, to the lowest outlet of an open one. */
static gboolean
settle_rise (TdNetworkBuilder *builder, guint index, GError **error)
{
  Part *group = get_part (builder, index);
  double low = INFINITY, high = -INFINITY;

  for (guint i = index + 1; i < builder->parts->len; i = get_part (builder, i)->end)
    {
      low = MIN (low, get_part (builder, i)->rise_m);
      high = MAX (high, get_part (builder, i)->rise_m);
    }
  if (group->kind == PART_PARALLEL && high - low > RISE_TOLERANCE_M)
    {
      g_set_error (
          error, TD_ERROR, TD_ERROR_SHAPE,
          "The branches of a parallel group rise by %g to %g m: they rejoin, so all must rise "
          "alike",
          low, high);
      return FALSE;
    }
  group->rise_m = low;

  return TRUE;
}

gboolean
td_network_builder_end (TdNetworkBuilder *builder, GError **error)
{
  Part *part;

  g_return_val_if_fail (builder != NULL && builder->open > 0, FALSE);

  part = get_part (builder, builder->open);
  if (part->n_members == 0)
    {
      g_set_error_literal (error, TD_ERROR, TD_ERROR_SHAPE,
                           part->kind == PART_BRANCH ? "A branch is empty: give it a tube"
                                                     : "A group has no branches");
      return FALSE;
    }
  if (part->kind != PART_BRANCH && !settle_rise (builder, builder->open, error))
    return FALSE;
  part->end = builder->parts->len;
  builder->open = part->parent;
  if (part->kind != PART_BRANCH)
    get_part (builder, builder->open)->rise_m += part->rise_m;

  return TRUE;
}

static gboolean
ends_in_group (const Part *parts, guint branch)
{
  guint last = branch;

  for (guint i = branch + 1; i < parts[branch].end; i = parts[i].end)
    last = i;

  return parts[last].kind == PART_OPEN;
}

/* Marks the branches that end outside with the head that stands there, and finds the lowest such
 * head and the lowest point. Heights are kept in @z: of each part's start. */
static void
settle_heights (TdNetwork *network)
{
  Part *parts = network->parts;
  g_autofree double *z = g_new0 (double, network->n_parts);

  network->lowest_terminal_m = INFINITY;
  network->lowest_m = MIN (network->frame.pump_height_m, network->frame.bucket_height_m);
  z[0] = network->frame.pump_height_m;
  for (guint i = 0; i < network->n_parts; i++)
    {
      double height = z[i];

      for (guint m = i + 1; m < parts[i].end; m = parts[m].end)
        {
          z[m] = height;
          if (parts[i].kind == PART_BRANCH)
            height += parts[m].rise_m;
        }
      network->lowest_m = MIN (network->lowest_m, z[i] + MIN (0.0, parts[i].rise_m));
      if (parts[i].kind != PART_BRANCH || (i > 0 && parts[parts[i].parent].kind == PART_PARALLEL)
          || ends_in_group (parts, i))
        continue;
      parts[i].terminal = TRUE;
      parts[i].terminal_m = z[i] + parts[i].rise_m;
      if (i == 0 && network->frame.submerged)
        parts[i].terminal_m = network->frame.bucket_height_m;
      network->lowest_terminal_m = MIN (network->lowest_terminal_m, parts[i].terminal_m);
    }
}

TdNetwork *
td_network_builder_finish (TdNetworkBuilder *builder, GError **error)
{
  TdNetwork *network;

  g_return_val_if_fail (builder != NULL, NULL);

  if (builder->open > 0 || builder->parts->len == 1)
    {
      g_set_error_literal (error, TD_ERROR, TD_ERROR_SHAPE,
                           builder->open > 0 ? "A group of the network is not ended"
                                             : "The network has no tube");
      return NULL;
    }
  network = g_new0 (TdNetwork, 1);
  g_atomic_ref_count_init (&network->refs);
  network->frame = builder->frame;
  td_pump_ref (network->frame.pump);
  network->n_tubes = g_hash_table_size (builder->ids);
  network->n_parts = builder->parts->len;
  get_part (builder, 0)->end = builder->parts->len;
  network->parts = (Part *)g_array_steal (builder->parts, NULL);
  g_hash_table_remove_all (builder->ids);
  settle_heights (network);

  return network;
}

TdNetwork *
td_network_ref (TdNetwork *network)
{
  g_return_val_if_fail (network != NULL, NULL);
  g_atomic_ref_count_inc (&network->refs);

  return network;
}

void
td_network_unref (TdNetwork *network)
{
  g_return_if_fail (network != NULL);
  if (!g_atomic_ref_count_dec (&network->refs))
    return;
  for (guint i = 0; i < network->n_parts; i++)
    clear_part (&network->parts[i]);
  g_free (network->parts);
  td_pump_unref (network->frame.pump);
  g_free (network);
}

guint
td_network_get_n_tubes (const TdNetwork *network)
{
  return network->n_tubes;
}

gboolean
td_network_ends_open (const TdNetwork *network)
{
  return ends_in_group (network->parts, 0);
}

double
td_network_get_end_height_m (const TdNetwork *network)
{
  return network->frame.pump_height_m + network->parts[0].rise_m;
}
