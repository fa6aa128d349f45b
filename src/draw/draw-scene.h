/* draw-scene.h: a picture of a site as plain items in millimetres, without cairo.
 *
 * Screen, PDF and pointer ask the same scene.  Towers stand above with their faucets, coolers below
 * with their keg ends; x grows to the right, y downwards.  A scene is immutable once built. */
#pragma once

#include "draw-run-sheet.h"

G_BEGIN_DECLS

typedef struct
{
  double x, y;
} TdPoint;

typedef struct
{
  double x, y, width, height;
} TdBox;

typedef enum
{
  TD_ITEM_TOWER,    /* panel; place = tower index, text = its name */
  TD_ITEM_COOLER,   /* panel; place = cooler index, text = its name */
  TD_ITEM_LINE,     /* points from the faucet to the keg end (a side faucet: to its tee) */
  TD_ITEM_JUMPER,   /* points from one end to the other, in the order of flow */
  TD_ITEM_HOSE,     /* points: between the cleaning pump and an end, in the order of flow */
  TD_ITEM_MANIFOLD, /* points along the bar; place = cooler index */
  TD_ITEM_FAUCET,   /* outlet; text = its number */
  TD_ITEM_KEG,      /* outlet; text = its number */
  TD_ITEM_FOB,
  TD_ITEM_BEER_PUMP,
  TD_ITEM_CHECK,         /* a fixed check valve */
  TD_ITEM_TEE,           /* where a side faucet leaves its line */
  TD_ITEM_SHUT,          /* bar across a static line, and the clock */
  TD_ITEM_STAGE,         /* the pattern that tells how far the line has come */
  TD_ITEM_TAG,           /* tag = index into the run sheet's tags */
  TD_ITEM_CLEANING_PUMP, /* circuit = its number */
  TD_ITEM_LINK,          /* a joint that goes on elsewhere: both ends carry the same letter */
  TD_ITEM_LABEL,         /* text alone */
  TD_N_ITEM_KINDS
} TdItemKind;

typedef enum
{
  TD_ALIGN_LEFT,
  TD_ALIGN_CENTRE,
  TD_ALIGN_RIGHT
} TdAlign;

typedef struct
{
  TdItemKind kind;
  TdBox box;       /* the glyph's extent; of a path the box around its points */
  TdPoint *points; /* of paths, else NULL */
  guint n_points;
  int row;     /* index into the scene's rows, -1 for the legend */
  int outlet;  /* -1 where none */
  int place;   /* -1 where none */
  int circuit; /* 0 where none */
  int tag;     /* -1 where none */
  TdRunWay way;
  TdStage stage;
  TdTagState tag_state;
  TdBeerPump beer_pump;
  gboolean reversal;
  gboolean quiet; /* stands back while other lines run */
  char *text;     /* NULL where none */
  double text_mm; /* height of the letters' em */
  TdAlign align;
  gboolean bold;
  gboolean upright; /* text reads from below upwards */
  double strip;     /* of a panel: height of the strip with its name, at the outer edge */
} TdItem;

/* One strip of towers over coolers. Big sites take several, one below the other. */
typedef struct
{
  double y, height;
} TdSceneRow;

typedef struct _TdScene
{
  double width, height; /* mm */
  double pitch;         /* mm from one line to the next */
  GPtrArray *items;     /* TdItem, in the order of painting */
  TdSceneRow *rows;
  guint n_rows;
  TdSceneRow legend; /* height 0 where there is none */
} TdScene;

typedef struct
{
  double width_mm; /* what there is; the scene takes all of it. 0 stands for 180 */
  gboolean legend; /* explain the signs that occur */
} TdSceneOptions;

/* The closest that two lines may stand; below it a site is wrapped into rows. Numbers of two digits
 * and upright words of 2.3 mm just fit. */
#define TD_SCENE_MIN_PITCH_MM 6.6
#define TD_SCENE_MAX_PITCH_MM 22.0

/* @options: (nullable). Returns: (transfer full): the picture. */
TdScene *td_scene_new (const TdRunSheet *sheet, const TdSceneOptions *options);
void td_scene_free (TdScene *scene);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (TdScene, td_scene_free)

/* One line an item, numbers to 0.1 mm: for golden files. (transfer full) */
char *td_scene_to_text (const TdScene *scene);
const char *td_item_kind_to_text (TdItemKind kind);

typedef enum
{
  TD_HIT_NOTHING,
  TD_HIT_OUTLET,        /* index = outlet */
  TD_HIT_TAG,           /* index = tag of the run sheet */
  TD_HIT_CLEANING_PUMP, /* index = circuit number */
  TD_HIT_BEER_PUMP      /* index = outlet */
} TdHitKind;

typedef struct
{
  TdHitKind kind;
  int index;
} TdHit;

/* What stands at a point of the scene. @slop_mm: how far beside a thing still counts (a finger is
 * broad). What lies under the point wins over what lies beside it, then the smaller thing over the
 * bigger one, then the nearer. */
TdHit td_scene_hit (const TdScene *scene, double x, double y, double slop_mm);

G_END_DECLS
