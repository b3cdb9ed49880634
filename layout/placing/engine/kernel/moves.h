/* The moves of the annealing: how one arrangement turns into the next. Part of anneal.c. */

typedef struct { i32 k, x, y, t, here; } Step;
static Step *undo;
static i32 n_undo;
static i64 trial_cost, trial_violation;

static void scatter(i32 k, i32 t, i32 *x, i32 *y) {            /* a chance place in one of its rooms */
    const Turn *turn = turns + items[k].turn + t;
    const Zone *room = zones + turn->room + below(turn->rooms);
    *x = between(room->x0, room->x1); *y = between(room->y0, room->y1);
}
static i32 clamp(i32 v, i32 low, i32 high) { return v < low ? low : v > high ? high : v; }
static void into_room(i32 k, i32 t, i32 *x, i32 *y) {          /* to the box of the nearest room */
    const Turn *turn = turns + items[k].turn + t;
    i32 least = 0x7fffffff, bx = *x, by = *y;
    for (i32 r = 0; r < turn->rooms && least; r++) {
        const Zone *room = zones + turn->room + r;
        i32 cx = clamp(*x, room->x0, room->x1), cy = clamp(*y, room->y0, room->y1);
        i32 d = (cx > *x ? cx - *x : *x - cx) + (cy > *y ? cy - *y : *y - cy);
        if (d < least) { least = d; bx = cx; by = cy; }
    }
    *x = bx; *y = by;
}
static int settle(i64 d_cost, i64 d_violation) { return accepts(wish * d_cost + push * d_violation); }

static void try_one(i32 k, i32 x, i32 y, i32 t, i32 is_here) {
    i64 dc, dv;
    if (x == px[k] && y == py[k] && t == pt[k] && is_here == here[k]) return;
    rise_of(k, x, y, t, is_here, &dc, &dv);
    if (items[k].n_seats) {
        if (wish * (dc - looks_gain(k)) + push * dv > 22 * heat) return;      /* no chance, whatever the lines give */
        dc += looks_rise(k, x, y, t, is_here);
    }
    if (settle(dc, dv)) { put(k, x, y, t, is_here, dc, dv); keep_best(); }
}
static void push_step(i32 k, i32 x, i32 y, i32 t) {            /* do it now, note how to undo it */
    i64 dc, dv;
    if (n_undo >= 2 * n + 4) return;
    undo[n_undo++] = (Step){k, px[k], py[k], pt[k], here[k]};
    rise_of(k, x, y, t, here[k], &dc, &dv);
    dc += looks_rise(k, x, y, t, here[k]);
    put(k, x, y, t, here[k], dc, dv);
    trial_cost += dc; trial_violation += dv;
}
static void end_steps(void) {
    if (settle(trial_cost, trial_violation)) { keep_best(); return; }
    while (n_undo--) {
        i64 dc, dv;
        const Step *s = undo + n_undo;
        rise_of(s->k, s->x, s->y, s->t, s->here, &dc, &dv);
        dc += looks_rise(s->k, s->x, s->y, s->t, s->here);
        put(s->k, s->x, s->y, s->t, s->here, dc, dv);
    }
}
static void start_steps(void) { n_undo = 0; trial_cost = trial_violation = 0; }

static void drag(i32 k, i32 x, i32 y, i32 t) {                 /* move k and what is tied to it */
    const Item *item = items + k;
    i32 dx = x - px[k], dy = y - py[k];
    push_step(k, x, y, t);
    for (i32 axis = 0; axis < 2; axis++) {
        i32 d = axis ? dy : dx;
        if (!d) continue;
        for (i32 i = 0; i < item->n_ties[axis]; i++) {
            const Tie *tie = ties + item->ties[axis] + i;
            i32 j = tie->item;
            if (items[j].pinned) continue;
            push_step(j, px[j] + (axis ? 0 : d * tie->sign), py[j] + (axis ? d * tie->sign : 0), pt[j]);
        }
    }
}
static void go(i32 k, i32 x, i32 y, i32 t) {
    into_room(k, t, &x, &y);
    if (items[k].n_ties[0] + items[k].n_ties[1] == 0 || (violation && !below(3))) { try_one(k, x, y, t, here[k]); return; }
    start_steps();
    drag(k, x, y, t);
    end_steps();
}
static void shift(i32 k) {
    i32 x = px[k], y = py[k], which = below(4);
    if (which != 0) x += between(-reach, reach);
    if (which != 1) y += between(-reach, reach);
    go(k, x, y, pt[k]);
}
static void beside(i32 k, i32 j, i32 along_y, i32 *x, i32 *y) {   /* bring a line of k onto that of j, across the side */
    for (i32 a = 0; a < items[k].n_seats; a++) {
        i32 s = seat_ids[items[k].seats + a], kind = below(looks[seats[s].look].kinds);
        const Look *look = looks + seats[s].look;
        if (axis_of(look, kind) != along_y) continue;
        for (i32 o = look->seat; o < look->seat + look->seats; o++) {
            if (seats[o].item != j) continue;
            i64 d = (i64)places[o * KINDS + kind] - places[s * KINDS + kind];
            if (d > FAR / 4 || d < -FAR / 4) return;
            if (along_y) *y += (i32)d; else *x += (i32)d;
            return;
        }
    }
}
static void snap(i32 k) {                                      /* to the side of another, at exactly the gap */
    i32 j = below(n), t = pt[k];
    if (j == k || !here[j]) { shift(k); return; }
    const List *list = k < j ? list_of(k, t, j, pt[j]) : list_of(j, pt[j], k, t);
    if (!list->count) { shift(k); return; }
    const Zone *zone = zones + list->start + below(list->count);
    i32 sign = k < j ? -1 : 1, side = below(4), x = px[k], y = py[k];
    i32 edge = side == 0 ? zone->x0 : side == 1 ? zone->x1 : side == 2 ? zone->y0 : zone->y1;
    if (edge <= -FAR || edge >= FAR) { shift(k); return; }
    i32 low = side < 2 ? zone->y0 : zone->x0, high = side < 2 ? zone->y1 : zone->x1, along, how = below(4);
    if (low <= -FAR || high >= FAR) how = 0;
    along = how == 1 ? between(low, high) : 0;                 /* how 2: centres in line */
    if (side < 2) { x = px[j] + sign * edge; if (how) y = py[j] + sign * along; if (how == 3) y = py[k] + between(-reach, reach); }
    else { y = py[j] + sign * edge; if (how) x = px[j] + sign * along; if (how == 3) x = px[k] + between(-reach, reach); }
    if (!how) beside(k, j, side < 2, &x, &y);
    go(k, x, y, t);
}
static void meet(i32 k);
static void align(i32 k) {                                     /* one of its lines onto that of another, or onto a mark */
    const Item *item = items + k;
    if (!item->n_seats) { meet(k); return; }
    i32 s = seat_ids[item->seats + below(item->n_seats)];
    const Look *look = looks + seats[s].look;
    i32 kind = below(look->kinds), other = below(look->seats + look->marks), place;
    if (other < look->seats) place = places[(look->seat + other) * KINDS + kind];
    else { const Mark *mark = marks + look->mark + other - look->seats; kind = mark->kind; place = mark->place; }
    i64 d = (i64)place - places[s * KINDS + kind];
    i32 x = px[k], y = py[k];
    if (d > FAR / 4 || d < -FAR / 4) { shift(k); return; }      /* on another panel, or no such line */
    if (axis_of(look, kind)) y += (i32)d; else x += (i32)d;
    go(k, x, y, pt[k]);
}
static void slide(i32 k) {                                     /* all that stand on one of its lines, along or across */
    const Item *item = items + k;
    if (!item->n_seats) { shift(k); return; }
    i32 s = seat_ids[item->seats + below(item->n_seats)];
    const Look *look = looks + seats[s].look;
    i32 kind = below(look->kinds), place = places[s * KINDS + kind], dx = 0, dy = 0;
    if (below(4)) { if (axis_of(look, kind)) dy = between(-reach, reach); else dx = between(-reach, reach); }
    else { if (axis_of(look, kind)) dx = between(-reach, reach); else dy = between(-reach, reach); }
    start_steps();
    for (i32 o = look->seat; o < look->seat + look->seats; o++) {
        i32 j = seats[o].item;
        if (here[j] && !items[j].pinned && places[o * KINDS + kind] == place) push_step(j, px[j] + dx, py[j] + dy, pt[j]);
    }
    end_steps();
}
static void meet(i32 k) {                                      /* bring one sum that looks at k to 0 */
    const Item *item = items + k;
    if (!item->n_uses) { snap(k); return; }
    const Use *use = uses + item->uses + below(item->n_uses);
    i32 x = px[k], y = py[k];
    i64 v = value[use->expr];
    i32 along_x = use->by_x && (!use->by_y || below(2));
    i32 by = along_x ? use->by_x : use->by_y;
    if (!by) { shift(k); return; }
    i64 d = -v / by;
    if (d > FAR || d < -FAR) { shift(k); return; }
    if (along_x) x += (i32)d; else y += (i32)d;
    go(k, x, y, pt[k]);
}
static void swap(i32 k) {
    i32 j = movable[below(n_movable)];
    if (j == k || !here[j] || !here[k]) { shift(k); return; }
    i32 kx = px[j], ky = py[j], jx = px[k], jy = py[k];
    into_room(k, pt[k], &kx, &ky); into_room(j, pt[j], &jx, &jy);
    start_steps();
    drag(k, kx, ky, pt[k]);
    drag(j, jx, jy, pt[j]);
    end_steps();
}
static void turn_over(i32 k) {
    i32 t = below(items[k].turns - 1);
    go(k, px[k], py[k], t >= pt[k] ? t + 1 : t);
}
static void elsewhere(i32 k) {
    i32 x, y;
    scatter(k, pt[k], &x, &y);
    go(k, x, y, pt[k]);
}
static void one_move(void) {
    i32 k = movable[below(n_movable)], dice = below(100);
    const Item *item = items + k;
    if (item->optional && (!here[k] || dice < 4)) {
        i32 x = px[k], y = py[k];
        if (!here[k]) scatter(k, pt[k], &x, &y);
        try_one(k, x, y, pt[k], !here[k]);
        return;
    }
    if (item->turns > 1 && dice >= 92) { turn_over(k); return; }
    if (dice < 4) elsewhere(k);
    else if (dice < 42) shift(k);
    else if (dice < 62) snap(k);
    else if (dice < 72) meet(k);
    else if (dice < 80) align(k);
    else if (dice < 83) slide(k);
    else swap(k);
}
