/* Annealing of whole-number positions, freestanding, for WebAssembly.
 *
 * Whole numbers only and one random generator of its own, so that a seed gives the same arrangement on
 * every machine. The host (kernel.py) writes one block of 32-bit numbers, laid out by tables.py, calls
 * setup once, then begin and run; run may be cut into pieces without changing the outcome.
 *
 * Energy = 256 * cost + weight * violation. Violation is a sum of depths in steps: how far an offset is
 * inside a forbidden region, a position outside its rooms, a rule above 0.
 */
typedef int i32;
typedef long long i64;
typedef unsigned int u32;
typedef unsigned long long u64;

#define EXPORT(name) __attribute__((export_name(#name))) name
#define FAR (1 << 22)
enum { ABS, HINGE, ANY_ZERO, RULE };

typedef struct { i32 turn, turns, pinned, x, y, t, optional, absent_cost, uses, n_uses, clauses, n_clauses,
                     seats, n_seats, ties[2], n_ties[2]; } Item;
typedef struct { i32 room, rooms, region, regions; } Turn;
typedef struct { i32 x0, y0, x1, y1, row, rows; } Zone;       /* box part, then the slanted rows */
typedef struct { i32 a, b, inverse, c_low, c_high; } Row;     /* inverse: 65536 / length of (a, b) */
typedef struct { i32 start, count, x0, y0, x1, y1; } List;    /* a box around its zones, for a quick no */
typedef struct { i32 x0, y0, x1, y1; } Near;
typedef struct { i32 kind, weight, slack, expr, exprs; } Owner;
typedef struct { i32 owner, const_low, const_high, use, n_uses; } Expr;
typedef struct { i32 expr, item, by_x, by_y, by_turn; } Use;  /* by_turn: index into constants, or -1 */
typedef struct { i32 option, options; } Clause;
typedef struct { i32 item, turn, zone; } Option;
typedef struct { i32 item, sign; } Tie;
typedef struct { i32 valid, spare; i64 cost, violation; i32 state[]; } Best;

static i32 n, n_owners, n_exprs, n_clauses;
static Item *items; static Turn *turns; static Zone *zones; static Row *rows; static List *lists;
static i32 *pair_base, *pair_list, *constants, *clause_ids, *movable; static i32 n_movable;
static Owner *owners; static Expr *exprs; static Use *uses; static Clause *clauses; static Option *options; static Tie *ties;

static i32 *px, *py, *pt, *here, *pen, *unary, *fresh, *zeros, *missing, *clause_pen, *holder;
static i64 *value;
typedef struct { i32 x0, y0, shift; u32 free[32]; } Grid;      /* bit set: nothing of the panel bars that cell */
static Grid *grids;
static i32 n_turns;
static Near *near, *turned;                                   /* at the turns taken: offsets j - k worth a look */
static Best *best;
static i64 cost, violation;
static u64 random_state;
static i64 done, total, heat0, heat1, push0, push1, heat, push, wish;
static i32 reach, first_valid, reach0;

#include "look.h"

/* ---- chance ---- */

static u32 draw(void) {                        /* xorshift64*, upper half */
    random_state ^= random_state >> 12; random_state ^= random_state << 25; random_state ^= random_state >> 27;
    return (u32)((random_state * 2685821657736338717ULL) >> 32);
}
static i32 below(i32 limit) { return limit <= 1 ? 0 : (i32)(((u64)draw() * (u64)limit) >> 32); }
static i32 between(i32 low, i32 high) { return low + below(high - low + 1); }

/* 2**(level / 65536) in 1/256, straight between powers of two: enough for a cooling law */
static i64 power(i64 level) {
    i64 whole = level >> 16, part = level & 65535;
    i64 base = 256 + (part >> 8);
    return whole >= 0 ? base << whole : base >> -whole;
}
static int accepts(i64 rise) {                 /* chance exp(-rise / heat); -log2 u is taken straight between powers */
    if (rise <= 0) return 1;
    if (rise > 22 * heat) return 0;
    u32 u = draw() | 1;
    i32 zeros_in_front = __builtin_clz(u);
    i64 part = (i64)(((u64)u << (zeros_in_front + 33)) >> 48);
    i64 minus_log2 = ((i64)(zeros_in_front + 1) << 16) - part;
    return (rise << 16) < (heat * minus_log2 / 256) * 177;     /* 177 / 256 = ln 2 */
}

/* ---- depths ---- */

static i64 right_side(const Row *row) { return ((i64)row->c_high << 32) | (u32)row->c_low; }

static i32 depth_in(const Zone *zone, i32 x, i32 y) {
    i32 mx = x - zone->x0, my = y - zone->y0;
    if (mx <= 0 || my <= 0) return 0;
    i32 rx = zone->x1 - x, ry = zone->y1 - y;
    if (rx <= 0 || ry <= 0) return 0;
    if (rx < mx) mx = rx;
    if (ry < my) my = ry;
    i32 depth = mx < my ? mx : my, wide = mx < my ? my : mx;
    for (const Row *row = rows + zone->row, *end = row + zone->rows; row < end; row++) {
        i64 inside = right_side(row) - (i64)row->a * x - (i64)row->b * y;
        if (inside <= 0) return 0;
        i32 d = (i32)((inside * row->inverse) >> 16) + 1;
        if (d < depth) depth = d;
    }
    if (wide > 4096) wide = 4096;
    return depth + (i32)(((i64)depth * wide) >> 10);
}
static i32 outside(const Zone *room, i32 x, i32 y) {
    i32 worst = 0;
    if (room->x0 - x > worst) worst = room->x0 - x;
    if (x - room->x1 > worst) worst = x - room->x1;
    if (room->y0 - y > worst) worst = room->y0 - y;
    if (y - room->y1 > worst) worst = y - room->y1;
    for (const Row *row = rows + room->row, *end = row + room->rows; row < end; row++) {
        i64 over = (i64)row->a * x + (i64)row->b * y - right_side(row);
        if (over > 0) { i32 d = (i32)((over * row->inverse) >> 16) + 1; if (d > worst) worst = d; }
    }
    return worst;
}
static i32 alone(i32 k, i32 x, i32 y, i32 t) {
    const Turn *turn = turns + items[k].turn + t;
    const Grid *grid = grids + items[k].turn + t;
    i32 column = (x - grid->x0) >> grid->shift, line = (y - grid->y0) >> grid->shift;
    if ((u32)column < 32 && (u32)line < 32 && grid->free[line] >> column & 1) return 0;
    i32 least = FAR;
    for (i32 r = 0; r < turn->rooms && least; r++) { i32 d = outside(zones + turn->room + r, x, y); if (d < least) least = d; }
    for (i32 r = 0; r < turn->regions; r++) least += depth_in(zones + turn->region + r, x, y);
    return least;
}
static i64 lowest(const Row *row, i32 x0, i32 y0, i32 x1, i32 y1) {    /* of a*x + b*y - c over a box */
    return (i64)row->a * (row->a > 0 ? x0 : x1) + (i64)row->b * (row->b > 0 ? y0 : y1) - right_side(row);
}
static i64 highest(const Row *row, i32 x0, i32 y0, i32 x1, i32 y1) {
    return (i64)row->a * (row->a > 0 ? x1 : x0) + (i64)row->b * (row->b > 0 ? y1 : y0) - right_side(row);
}
static int cell_free(const Turn *turn, i32 x0, i32 y0, i32 x1, i32 y1) {
    int held = 0;
    for (i32 r = 0; r < turn->rooms && !held; r++) {
        const Zone *room = zones + turn->room + r;
        held = x0 >= room->x0 && y0 >= room->y0 && x1 <= room->x1 && y1 <= room->y1;
        for (i32 i = 0; i < room->rows && held; i++) held = highest(rows + room->row + i, x0, y0, x1, y1) <= 0;
    }
    for (i32 r = 0; r < turn->regions && held; r++) {
        const Zone *zone = zones + turn->region + r;
        int meets = x1 > zone->x0 && x0 < zone->x1 && y1 > zone->y0 && y0 < zone->y1;
        for (i32 i = 0; i < zone->rows && meets; i++) meets = lowest(rows + zone->row + i, x0, y0, x1, y1) < 0;
        held = !meets;
    }
    return held;
}
static void fill_grid(const Turn *turn, Grid *grid) {
    i32 x0 = FAR, y0 = FAR, x1 = -FAR, y1 = -FAR;
    for (i32 r = 0; r < turn->rooms; r++) {
        const Zone *room = zones + turn->room + r;
        if (room->x0 < x0) x0 = room->x0;
        if (room->y0 < y0) y0 = room->y0;
        if (room->x1 > x1) x1 = room->x1;
        if (room->y1 > y1) y1 = room->y1;
    }
    *grid = (Grid){x0, y0, 0, {0}};
    while (((x1 - x0) >> grid->shift) >= 32 || ((y1 - y0) >> grid->shift) >= 32) grid->shift++;
    i32 side = 1 << grid->shift;
    for (i32 line = 0; line < 32; line++) for (i32 column = 0; column < 32; column++) {
        i32 x = x0 + column * side, y = y0 + line * side;
        if (x <= x1 && y <= y1 && cell_free(turn, x, y, x + side - 1, y + side - 1)) grid->free[line] |= 1u << column;
    }
}
static const List *list_of(i32 i, i32 ti, i32 j, i32 tj) {     /* i < j */
    return lists + pair_list[pair_base[i * n + j] + ti * items[j].turns + tj];
}
static Near near_of(i32 k, i32 t, i32 j) {
    if (j == k) return (Near){1, 1, -1, -1};
    const List *list = k < j ? list_of(k, t, j, pt[j]) : list_of(j, pt[j], k, t);
    return k < j ? (Near){list->x0, list->y0, list->x1, list->y1} : (Near){-list->x1, -list->y1, -list->x0, -list->y0};
}
static i32 apart(i32 k, i32 x, i32 y, i32 t, i32 j) {
    const List *list = k < j ? list_of(k, t, j, pt[j]) : list_of(j, pt[j], k, t);
    i32 dx = k < j ? px[j] - x : x - px[j], dy = k < j ? py[j] - y : y - py[j], sum = 0;
    for (const Zone *zone = zones + list->start, *end = zone + list->count; zone < end; zone++) sum += depth_in(zone, dx, dy);
    return sum;
}
static i32 option_depth(const Option *option) {
    i32 d = outside(zones + option->zone, px[option->item], py[option->item]);
    return d + (here[option->item] ? 0 : 1000) + (pt[option->item] == option->turn ? 0 : 100);
}
static i32 clause_depth(i32 id) {              /* what held last is looked at first */
    const Clause *clause = clauses + id;
    if (!clause->options) return FAR;
    i32 least = option_depth(options + clause->option + holder[id]);
    for (i32 o = 0; o < clause->options && least; o++) {
        i32 d = option_depth(options + clause->option + o);
        if (d < least) { least = d; holder[id] = o; }
    }
    return least;
}

/* ---- what a change costs ---- */

static i64 owner_cost(const Owner *owner, i64 v, i32 n_zeros, i32 n_missing) {
    if (n_missing) return 0;
    if (owner->kind == ANY_ZERO) return n_zeros ? 0 : owner->weight;
    if (owner->kind == ABS) { v = (v < 0 ? -v : v) - owner->slack; }
    return v > 0 ? v * owner->weight : 0;
}
static i64 new_value(const Use *use, i32 k, i32 x, i32 y, i32 t) {
    i64 v = value[use->expr] + (i64)use->by_x * (x - px[k]) + (i64)use->by_y * (y - py[k]);
    if (use->by_turn >= 0) v += constants[use->by_turn + t] - constants[use->by_turn + pt[k]];
    return v;
}
/* Rise of cost (lines apart: looks_rise) and violation when k goes to (x, y, t, is_here); fresh[] gets its new depths. */
static void rise_of(i32 k, i32 x, i32 y, i32 t, i32 is_here, i64 *d_cost, i64 *d_violation) {
    i64 dc = 0, dv = 0;
    const i32 *old = pen + k * n;
    const Near *box = near + k * n;
    if (t != pt[k]) {
        for (i32 j = 0; j < n; j++) turned[j] = near_of(k, t, j);
        box = turned;
    }
    for (i32 j = 0; j < n; j++, box++) {
        i32 dx = px[j] - x, dy = py[j] - y, d = 0;
        if (dx > box->x0 && dx < box->x1 && dy > box->y0 && dy < box->y1 && is_here && here[j]) d = apart(k, x, y, t, j);
        fresh[j] = d;
        dv += d - old[j];
    }
    i32 u = is_here ? alone(k, x, y, t) : 0;
    fresh[n] = u;
    dv += u - unary[k];
    i32 gone = here[k] - is_here;
    if (gone) dc += gone * (i64)items[k].absent_cost;
    const Use *use = uses + items[k].uses, *end = use + items[k].n_uses;
    while (use < end) {
        i32 o = exprs[use->expr].owner, dz = 0;
        const Owner *owner = owners + o;
        i64 before = value[use->expr], after = before;
        for (; use < end && exprs[use->expr].owner == o; use++) {
            after = new_value(use, k, x, y, t);
            if (owner->kind == ANY_ZERO) dz += (after == 0) - (value[use->expr] == 0);
        }
        i64 change = owner_cost(owner, after, zeros[o] + dz, missing[o] + gone) - owner_cost(owner, before, zeros[o], missing[o]);
        if (owner->kind == RULE) dv += change; else dc += change;
    }
    if (items[k].n_clauses) {
        i32 ox = px[k], oy = py[k], ot = pt[k], oh = here[k];
        px[k] = x; py[k] = y; pt[k] = t; here[k] = is_here;
        for (i32 c = 0; c < items[k].n_clauses; c++) {
            i32 id = clause_ids[items[k].clauses + c];
            dv += clause_depth(id) - clause_pen[id];
        }
        px[k] = ox; py[k] = oy; pt[k] = ot; here[k] = oh;
    }
    *d_cost = dc; *d_violation = dv;
}
static void put(i32 k, i32 x, i32 y, i32 t, i32 is_here, i64 d_cost, i64 d_violation) {   /* after rise_of */
    for (i32 j = 0; j < n; j++) pen[k * n + j] = pen[j * n + k] = fresh[j];
    unary[k] = fresh[n];
    i32 gone = here[k] - is_here, last = -1;
    for (const Use *use = uses + items[k].uses, *end = use + items[k].n_uses; use < end; use++) {
        i32 o = exprs[use->expr].owner;
        i64 after = new_value(use, k, x, y, t);
        zeros[o] += (after == 0) - (value[use->expr] == 0);
        value[use->expr] = after;
        if (o != last) missing[o] += gone;
        last = o;
    }
    for (i32 s = 0; s < items[k].n_seats; s++) look_rise(seat_ids[items[k].seats + s], x, y, t, is_here, 1);
    px[k] = x; py[k] = y; here[k] = is_here;
    if (t != pt[k]) {
        pt[k] = t;
        for (i32 j = 0; j < n; j++) { near[k * n + j] = near_of(k, t, j); near[j * n + k] = near_of(j, pt[j], k); }
    }
    for (i32 c = 0; c < items[k].n_clauses; c++) {
        i32 id = clause_ids[items[k].clauses + c];
        clause_pen[id] = clause_depth(id);
    }
    cost += d_cost; violation += d_violation;
}
static void count_afresh(void) {
    cost = 0; violation = 0;
    for (i32 k = 0; k < n; k++) {
        for (i32 j = 0; j < n; j++) near[k * n + j] = near_of(k, pt[k], j);
        pen[k * n + k] = 0;
        unary[k] = here[k] ? alone(k, px[k], py[k], pt[k]) : 0;
        violation += unary[k];
        if (!here[k]) cost += items[k].absent_cost;
        for (i32 j = 0; j < k; j++) {
            i32 d = here[k] && here[j] ? apart(k, px[k], py[k], pt[k], j) : 0;
            pen[k * n + j] = pen[j * n + k] = d;
            violation += d;
        }
    }
    for (i32 o = 0; o < n_owners; o++) zeros[o] = missing[o] = 0;
    for (i32 e = 0; e < n_exprs; e++) value[e] = ((i64)exprs[e].const_high << 32) | (u32)exprs[e].const_low;
    for (i32 k = 0; k < n; k++) for (i32 u = 0, last = -1; u < items[k].n_uses; u++) {
        const Use *use = uses + items[k].uses + u;
        value[use->expr] += (i64)use->by_x * px[k] + (i64)use->by_y * py[k] + (use->by_turn >= 0 ? constants[use->by_turn + pt[k]] : 0);
        i32 o = exprs[use->expr].owner;
        if (o != last && !here[k]) missing[o]++;
        last = o;
    }
    for (i32 e = 0; e < n_exprs; e++) zeros[exprs[e].owner] += value[e] == 0;
    for (i32 o = 0; o < n_owners; o++) {
        i64 c = owner_cost(owners + o, value[owners[o].expr], zeros[o], missing[o]);
        if (owners[o].kind == RULE) violation += c; else cost += c;
    }
    cost += looks_afresh();
    for (i32 c = 0; c < n_clauses; c++) { holder[c] = 0; violation += clause_pen[c] = clause_depth(c); }
}
static void keep_best(void) {
    if (violation ? best->valid || violation >= best->violation : best->valid && cost >= best->cost) return;
    best->valid = violation == 0; best->cost = cost; best->violation = violation;
    for (i32 k = 0; k < n; k++) {
        i32 *out = best->state + 4 * k;
        out[0] = px[k]; out[1] = py[k]; out[2] = pt[k]; out[3] = here[k];
    }
}

#include "moves.h"

/* ---- what the host calls ---- */

static char *heap;
static void *take(i64 bytes) { void *p = heap; heap += (bytes + 15) & ~15; return p; }

/* Read the tables; returns the first free address behind the work space. With dry != 0 only count. */
u32 EXPORT(setup)(i32 *block, i32 dry) {
    const i32 *head = block;
    n = *head++; n_owners = *head++; n_exprs = *head++; n_clauses = *head++; n_looks = *head++; n_seats = *head++;
    items = (Item *)(block + *head++); turns = (Turn *)(block + *head++); zones = (Zone *)(block + *head++);
    rows = (Row *)(block + *head++); lists = (List *)(block + *head++); pair_base = block + *head++;
    pair_list = block + *head++; constants = block + *head++; owners = (Owner *)(block + *head++);
    exprs = (Expr *)(block + *head++); uses = (Use *)(block + *head++); clauses = (Clause *)(block + *head++);
    options = (Option *)(block + *head++); clause_ids = block + *head++; ties = (Tie *)(block + *head++);
    looks = (Look *)(block + *head++); seats = (Seat *)(block + *head++); marks = (Mark *)(block + *head++);
    seat_ids = block + *head++; heap = (char *)(block + *head++);
    i64 word = sizeof(i32);
    px = take(n * word); py = take(n * word); pt = take(n * word); here = take(n * word); unary = take(n * word);
    pen = take((i64)n * n * word); fresh = take((n + 1) * word); zeros = take(n_owners * word); missing = take(n_owners * word);
    clause_pen = take(n_clauses * word); holder = take(n_clauses * word); movable = take(n * word); undo = take((2 * n + 4) * sizeof(Step));
    places = take(n_seats * KINDS * word); shared = take(n_seats * KINDS * word);
    near = take((i64)n * n * sizeof(Near)); turned = take(n * sizeof(Near));
    value = take(n_exprs * sizeof(i64)); best = take(sizeof(Best) + 4 * n * word);
    n_turns = 0;
    for (i32 k = 0; k < n; k++) n_turns += items[k].turns;
    grids = take(n_turns * sizeof(Grid));
    if (dry) return (u32)heap;
    for (i32 t = 0; t < n_turns; t++) fill_grid(turns + t, grids + t);
    n_movable = 0;
    for (i32 k = 0; k < n; k++) if (!items[k].pinned) movable[n_movable++] = k;
    return (u32)heap;
}
/* Where the host writes a start (x, y, turn, present for each item) and reads the best state. */
u32 EXPORT(state)(void) { return (u32)best; }

/* Start a run. heat and push (weight of violation) go from the first to the second level, each log2 in
 * 1/65536 of units. span is the longest shift at first. from_start: take the state the host wrote (or the
 * best of the run before), else scatter. only_valid: take no notice of costs and end at the first valid state. */
void EXPORT(begin)(u64 seed, i64 moves, i64 heat_from, i64 heat_to, i64 push_from, i64 push_to, i32 span,
                   i32 from_start, i32 only_valid) {
    random_state = seed * 0x9E3779B97F4A7C15ULL + 0x1234567;
    if (!random_state) random_state = 1;
    for (i32 i = 0; i < 8; i++) draw();
    done = 0; total = moves; heat0 = heat_from; heat1 = heat_to; push0 = push_from; push1 = push_to;
    reach0 = span; wish = only_valid ? 0 : 256; first_valid = only_valid;
    for (i32 k = 0; k < n; k++) {
        const i32 *in = best->state + 4 * k;
        const Item *item = items + k;
        here[k] = 1;
        if (item->pinned) { px[k] = item->x; py[k] = item->y; pt[k] = item->t; continue; }
        if (from_start) { px[k] = in[0]; py[k] = in[1]; pt[k] = in[2]; here[k] = in[3]; continue; }
        pt[k] = below(item->turns);
        scatter(k, pt[k], px + k, py + k);
    }
    count_afresh();
    best->valid = 0; best->violation = 1LL << 60; best->cost = 0;
    keep_best();
}
/* Do up to so many more moves; returns how many are left. */
i64 EXPORT(run)(i64 moves) {
    for (; moves > 0 && done < total && n_movable; moves--, done++) {
        if ((done & 255) == 0) {
            heat = power(heat0 + (heat1 - heat0) * done / total);
            push = power(push0 + (push1 - push0) * done / total);
            i64 left = total - done;
            reach = (i32)(2 + reach0 * left / total * left / total);
        }
        one_move();
        if (first_valid && !violation) return 0;
    }
    return n_movable ? total - done : 0;
}
