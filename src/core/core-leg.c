#include "core-leg.h"

#include "core-error.h"
#include "core-pipe.h"

#include <math.h>

/* One line made ready: the tubes of its segments, none where only head_loss_m is known. */
typedef struct
{
  TdPipe *pipes;
  guint n_pipes;
  gint64 loss_um;
  double volume_ml;
} Leg;

struct _TdLegModel
{
  gatomicrefcount refs;
  double min_flow_l_min;
  double max_pressure_kpa;
  TdFluid fluid;
  TdPump *pump;
  TdSegment jumper;
  TdPipe jumper_pipe;
  guint n_legs;
  Leg *legs;
};

static gint64
to_um (double metres)
{
  return llround (metres * 1e6);
}

static gint64
read_setting (const TdSettings *settings, TdSettingId id)
{
  return settings != NULL ? td_settings_get (settings, id) : td_setting_get_info (id)->standard;
}

static gboolean
prepare_segment (TdPipe *pipe, const TdSegment *segment, const TdFluid *fluid, GError **error)
{
  TdPipeShape tube = { segment->bore_mm, segment->length_m, segment->roughness_mm, segment->k };

  return td_pipe_init (pipe, &tube, fluid, error);
}

static gboolean
prepare_leg (TdLegModel *model, Leg *leg, const TdLine *line, GError **error)
{
  leg->volume_ml = td_line_get_volume_ml (line);
  if (line->n_segments == 0)
    {
      leg->loss_um = to_um (line->head_loss_m);
      return TRUE;
    }
  leg->pipes = g_new0 (TdPipe, line->n_segments);
  leg->n_pipes = line->n_segments;
  for (guint i = 0; i < line->n_segments; i++)
    if (!prepare_segment (&leg->pipes[i], &line->segments[i], &model->fluid, error))
      {
        g_prefix_error (error, "Line %s, segment %u: ", line->id, i + 1);
        return FALSE;
      }

  return TRUE;
}

static gboolean
prepare_jumper (TdLegModel *model, const TdSettings *settings, GError **error)
{
  model->jumper.material = NULL;
  model->jumper.bore_mm = read_setting (settings, TD_SETTING_JUMPER_BORE) / 1e3;
  model->jumper.length_m = read_setting (settings, TD_SETTING_JUMPER_LENGTH) / 1e3;
  model->jumper.k = read_setting (settings, TD_SETTING_JUMPER_K) / 1e3;
  /* Drawn plastic hose, as TdSegment.roughness_mm by default. */
  model->jumper.roughness_mm = 0.0015;

  return prepare_segment (&model->jumper_pipe, &model->jumper, &model->fluid, error);
}

TdLegModel *
td_leg_model_new (const TdSite *site, const TdSettings *settings, GError **error)
{
  g_autoptr (TdLegModel) model = NULL;

  g_return_val_if_fail (site != NULL, NULL);

  model = g_new0 (TdLegModel, 1);
  g_atomic_ref_count_init (&model->refs);
  model->min_flow_l_min = site->min_flow_l_min;
  model->max_pressure_kpa = site->max_pressure_kpa;
  model->legs = g_new0 (Leg, site->n_lines);
  model->n_legs = site->n_lines;

  if (!td_fluid_get (site->substance, site->percent, site->temperature_c, &model->fluid, error))
    return NULL;
  model->pump = site->n_curve > 0 ? td_pump_new (site->curve, site->n_curve, error)
                                  : td_pump_new_default ();
  if (model->pump == NULL || !prepare_jumper (model, settings, error))
    return NULL;
  for (guint i = 0; i < site->n_lines; i++)
    if (!prepare_leg (model, &model->legs[i], &site->lines[i], error))
      return NULL;
  for (guint i = 0; i < site->n_lines; i++)
    if (model->legs[i].n_pipes > 0)
      model->legs[i].loss_um = to_um (td_leg_model_get_loss_m (model, i, site->min_flow_l_min));

  return g_steal_pointer (&model);
}

TdLegModel *
td_leg_model_ref (TdLegModel *model)
{
  g_return_val_if_fail (model != NULL, NULL);
  g_atomic_ref_count_inc (&model->refs);

  return model;
}

void
td_leg_model_unref (TdLegModel *model)
{
  g_return_if_fail (model != NULL);
  if (!g_atomic_ref_count_dec (&model->refs))
    return;
  for (guint i = 0; i < model->n_legs; i++)
    g_free (model->legs[i].pipes);
  g_free (model->legs);
  g_clear_pointer (&model->pump, td_pump_unref);
  g_free (model);
}

double
td_leg_model_get_min_flow_l_min (const TdLegModel *model)
{
  return model->min_flow_l_min;
}

const TdFluid *
td_leg_model_get_fluid (const TdLegModel *model)
{
  return &model->fluid;
}

const TdPump *
td_leg_model_get_pump (const TdLegModel *model)
{
  return model->pump;
}

const TdSegment *
td_leg_model_get_jumper (const TdLegModel *model)
{
  return &model->jumper;
}

gboolean
td_leg_model_is_known (const TdLegModel *model, guint line)
{
  g_return_val_if_fail (line < model->n_legs, FALSE);

  return model->legs[line].n_pipes > 0;
}

gint64
td_leg_model_get_loss_um (const TdLegModel *model, guint line)
{
  g_return_val_if_fail (line < model->n_legs, 0);

  return model->legs[line].loss_um;
}

double
td_leg_model_get_loss_m (const TdLegModel *model, guint line, double flow_l_min)
{
  const Leg *leg;
  double loss;

  g_return_val_if_fail (line < model->n_legs && flow_l_min >= 0.0, NAN);

  leg = &model->legs[line];
  if (leg->n_pipes == 0)
    return flow_l_min == model->min_flow_l_min ? leg->loss_um / 1e6 : NAN;
  loss = td_pipe_get_loss_m (&model->jumper_pipe, flow_l_min, NULL);
  for (guint i = 0; i < leg->n_pipes; i++)
    loss += td_pipe_get_loss_m (&leg->pipes[i], flow_l_min, NULL);

  return loss;
}

static double
get_surplus_m (const TdLegModel *model,
               const guint *lines,
               guint n_lines,
               double lift_m,
               double flow_l_min)
{
  double head_m = td_pump_get_head_m (model->pump, flow_l_min) - lift_m;

  for (guint i = 0; i < n_lines; i++)
    head_m -= td_leg_model_get_loss_m (model, lines[i], flow_l_min);

  return head_m;
}

double
td_leg_model_get_flow_l_min (const TdLegModel *model,
                             const guint *lines,
                             guint n_lines,
                             double lift_m)
{
  double low = 0.0, high = 1.0;

  g_return_val_if_fail (model != NULL && lines != NULL && n_lines > 0, NAN);

  for (guint i = 0; i < n_lines; i++)
    if (!td_leg_model_is_known (model, lines[i]))
      return NAN;
  if (get_surplus_m (model, lines, n_lines, lift_m, 0.0) <= 0.0)
    return 0.0;
  while (get_surplus_m (model, lines, n_lines, lift_m, high) > 0.0)
    {
      low = high;
      high *= 2.0;
      g_return_val_if_fail (high < 1e9, NAN);
    }
  /* The surplus falls with the flow; 60 halvings leave nothing of a double's digits. */
  for (guint i = 0; i < 60 && high - low > 1e-12 * high; i++)
    {
      double middle = 0.5 * (low + high);

      *(get_surplus_m (model, lines, n_lines, lift_m, middle) > 0.0 ? &low : &high) = middle;
    }

  return 0.5 * (low + high);
}

void
td_leg_model_get_slowest (const TdLegModel *model,
                          guint line,
                          double flow_l_min,
                          double *velocity_m_s_out,
                          double *reynolds_out)
{
  const TdPipe *widest = NULL;

  g_return_if_fail (line < model->n_legs);

  for (guint i = 0; i < model->legs[line].n_pipes; i++)
    if (widest == NULL || model->legs[line].pipes[i].area_m2 > widest->area_m2)
      widest = &model->legs[line].pipes[i];
  *velocity_m_s_out = *reynolds_out = NAN;
  if (widest == NULL || isnan (flow_l_min))
    return;
  *velocity_m_s_out = td_pipe_get_velocity_m_s (widest, flow_l_min);
  *reynolds_out = td_pipe_get_reynolds (widest, flow_l_min);
}

double
td_leg_model_get_volume_ml (const TdLegModel *model, guint line)
{
  g_return_val_if_fail (line < model->n_legs, NAN);

  return model->legs[line].volume_ml;
}

gint64
td_leg_model_get_pump_head_um (const TdLegModel *model)
{
  return td_leg_model_get_pump_head_um_at (model, model->min_flow_l_min);
}

gint64
td_leg_model_get_pump_head_um_at (const TdLegModel *model, double flow_l_min)
{
  double head_m;

  g_return_val_if_fail (flow_l_min >= 0.0, 0);

  head_m = td_pump_get_head_m (model->pump, flow_l_min);

  return head_m > 0.0 ? to_um (head_m) : 0;
}

double
td_leg_model_get_pressure_flow_l_min (const TdLegModel *model, double bucket_m, double lowest_m)
{
  double head_m = model->max_pressure_kpa * 1e3 / (model->fluid.density_kg_m3 * TD_GRAVITY)
                  - (bucket_m - lowest_m);

  /* The same relative tolerance as the planner's comparisons. */
  if (td_pump_get_shut_off_m (model->pump) <= head_m * (1.0 + 1e-9))
    return 0.0;
  if (head_m <= 0.0)
    return INFINITY;

  return td_pump_get_flow_l_min (model->pump, head_m);
}

double
td_leg_model_get_shut_off_kpa (const TdLegModel *model, double bucket_m, double lowest_m)
{
  double head_m = td_pump_get_shut_off_m (model->pump) + bucket_m - lowest_m;

  return model->fluid.density_kg_m3 * TD_GRAVITY * head_m / 1e3;
}
