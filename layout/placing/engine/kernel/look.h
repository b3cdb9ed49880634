/* Wishes for few lines: how many items share each of an item's lines, and what that costs. Part of anneal.c.
 *
 * Each present seat of a term costs weight / m, m the most that stand on one of its lines. */

#define KINDS 3

typedef struct { i32 weight, kinds, axes, seat, seats, mark, marks; } Look;    /* axes: a bit for each kind of line */
typedef struct { i32 item, look, kinds, constants; } Seat;                    /* by kind, then by turn; kinds: a bit for each it has */
typedef struct { i32 kind, place; } Mark;

static Look *looks; static Seat *seats; static Mark *marks; static i32 *seat_ids;
static i32 n_looks, n_seats;
static i32 *places, *shared;                                  /* of each seat, by kind: where, and how many stand there */

static i32 axis_of(const Look *look, i32 kind) { return look->axes >> kind & 1; }
static i32 place_of(const Look *look, const Seat *seat, i32 kind, i32 x, i32 y, i32 t) {
    if (!(seat->kinds >> kind & 1)) return (i32)0x80000000 + (i32)(seat - seats);   /* nowhere: no other is there */
    return (axis_of(look, kind) ? y : x) + constants[seat->constants + kind * items[seat->item].turns + t];
}
static i32 most(const i32 *counts, i32 kinds) {
    i32 m = counts[0];
    for (i32 l = 1; l < kinds; l++) if (counts[l] > m) m = counts[l];
    return m;
}
static void marked(const Look *look, const i32 *at, i32 *counts) {             /* itself, and what lies there already */
    for (i32 l = 0; l < look->kinds; l++) counts[l] = 1;
    for (i32 m = 0; m < look->marks; m++) {
        const Mark *mark = marks + look->mark + m;
        if (at[mark->kind] == mark->place) counts[mark->kind]++;
    }
}
/* Rise of cost when the seat's item goes to (x, y, t, is_here); with write != 0 also note the new lines. */
static i64 look_rise(i32 s, i32 x, i32 y, i32 t, i32 is_here, i32 write) {
    const Seat *seat = seats + s;
    const Look *look = looks + seat->look;
    i32 was_here = here[seat->item], kinds = look->kinds, changed = is_here != was_here;
    i32 to[KINDS], count[KINDS], *from = places + s * KINDS;
    for (i32 l = 0; l < kinds; l++) { to[l] = place_of(look, seat, l, x, y, t); changed |= to[l] != from[l]; }
    if (!changed) return 0;
    i64 rise = was_here ? -(i64)(look->weight / most(shared + s * KINDS, kinds)) : 0;
    marked(look, to, count);
    for (i32 o = look->seat; o < look->seat + look->seats; o++) {
        if (o == s || !here[seats[o].item]) continue;
        const i32 *at = places + o * KINDS;
        i32 *its = shared + o * KINDS, fresh_count[KINDS], differs = 0;
        for (i32 l = 0; l < kinds; l++) {
            i32 joins = is_here && at[l] == to[l], leaves = was_here && at[l] == from[l];
            count[l] += joins;
            fresh_count[l] = its[l] + joins - leaves;
            differs |= joins ^ leaves;
        }
        if (!differs) continue;
        rise += look->weight / most(fresh_count, kinds) - look->weight / most(its, kinds);
        if (write) for (i32 l = 0; l < kinds; l++) its[l] = fresh_count[l];
    }
    if (is_here) rise += look->weight / most(count, kinds);
    if (write) for (i32 l = 0; l < kinds; l++) { from[l] = to[l]; shared[s * KINDS + l] = count[l]; }
    return rise;
}
static i64 looks_rise(i32 k, i32 x, i32 y, i32 t, i32 is_here) {
    i64 rise = 0;
    for (i32 s = 0; s < items[k].n_seats; s++) rise += look_rise(seat_ids[items[k].seats + s], x, y, t, is_here, 0);
    return rise;
}
/* What one item can gain at most: its own share, and at each kind of line half a weight of those it joins. */
static i64 looks_gain(i32 k) {
    i64 most = 0;
    for (i32 s = 0; s < items[k].n_seats; s++) most += looks[seats[seat_ids[items[k].seats + s]].look].weight;
    return most + most * KINDS / 2;
}
static i64 looks_afresh(void) {
    i64 sum = 0;
    for (i32 s = 0; s < n_seats; s++) {
        const Seat *seat = seats + s;
        const Look *look = looks + seat->look;
        for (i32 l = 0; l < look->kinds; l++)
            places[s * KINDS + l] = place_of(look, seat, l, px[seat->item], py[seat->item], pt[seat->item]);
    }
    for (i32 s = 0; s < n_seats; s++) {
        const Look *look = looks + seats[s].look;
        i32 *count = shared + s * KINDS;
        marked(look, places + s * KINDS, count);
        for (i32 o = look->seat; o < look->seat + look->seats; o++) {
            if (o == s || !here[seats[o].item]) continue;
            for (i32 l = 0; l < look->kinds; l++) count[l] += places[o * KINDS + l] == places[s * KINDS + l];
        }
        if (here[seats[s].item]) sum += look->weight / most(count, look->kinds);
    }
    return sum;
}
