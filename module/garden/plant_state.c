/* SPDX-License-Identifier: MIT */
#include "garden/plant_state.h"

#include <stdio.h>
#include <string.h>

static ow_block *root_of(const ow_cast *cast, const ow_actor *a)
{
    return &cast->block[ow_root_grid(&cast->garden->plants[a->plant])][a->root.block];
}

static ow_block *trunk_of(const ow_cast *cast, const ow_actor *a)
{
    return a->trunk.block >= 0 ? &cast->block[OW_BODY_TRUNK][a->trunk.block] : NULL;
}

static int64_t limits_of(const ow_tolerance *stands)
{
    double value[OW_PARTS * 5];
    size_t n = 0;
    for (int p = 0; p < OW_PARTS; p++) {
        const ow_limit *l = &stands->limit[p];
        value[n++] = l->set;
        value[n++] = l->set ? l->damaged_c : 0.0;
        value[n++] = l->set ? l->killed_c : 0.0;
        value[n++] = l->set && l->of_air;
        value[n++] = l->set ? l->minutes : 0.0;
    }
    return ow_print_of(value, n);
}

void ow_plant_gather(const ow_scene *s, int i, ow_plant_state *to)
{
    const ow_garden *g = s->garden;
    const ow_actor *a = &s->cast->actor[i];
    const ow_block *trunk = trunk_of(s->cast, a);
    *to = (ow_plant_state){.limits = limits_of(&g->plants[i].tolerance),
                        .has_trunk = trunk != NULL,
                        .has_tray = a->has_tray,
                        .tray = a->tray,
                        .worn = (int)a->dress.n,
                        .sense = a->sense,
                        .condition = a->condition};
    snprintf(to->home, sizeof to->home, "%s", g->plants[i].place.id);
    snprintf(to->place, sizeof to->place, "%s", g->places[a->place].id);
    ow_body_gather(root_of(s->cast, a), a->root.lane, &to->root);
    if (trunk != NULL) {
        ow_body_gather(trunk, a->trunk.lane, &to->trunk);
    }
    for (int c = 0; c < to->worn; c++) {
        snprintf(to->cover[c].id, OW_ID_ROOM, "%s", g->covers[a->dress.item[c]].id);
        to->cover[c].state = a->dress.cover[c].state;
    }
}

static void pack_worn(ow_pack *p, ow_worn_state *w)
{
    int zones = (int)w->state.wet_zones;
    ow_pack_text(p, w->id, sizeof w->id);
    ow_pack_int(p, &zones, 0, (int)OW_ZONES_ALL);
    ow_pack_bool(p, &w->state.blown_off);
    ow_pack_double(p, &w->state.dry_s);
    w->state.wet_zones = (unsigned)zones;
}

static void pack_sense(ow_pack *p, ow_sense *s)
{
    ow_inside *r = &s->root;
    double *const inside[] = {&r->mean_c,    &r->coldest_c, &r->warmest_c,
                              &r->centre_c,  &r->mean_h_j_m3, &r->ice_share,
                              &r->least_ice, &r->least_relative_ice, &r->open_share};
    for (size_t i = 0; i < sizeof inside / sizeof *inside; i++) {
        ow_pack_double(p, inside[i]);
    }
    ow_pack_doubles(p, s->part_c, OW_PARTS);
    ow_pack_double(p, &s->air_c);
    ow_pack_double(p, &s->leaf_air_c);
    ow_pack_double(p, &s->sun_wm2);
    ow_pack_double(p, &s->wind_ms);
}

static void pack_watch(ow_pack *p, ow_harm_watch *w)
{
    ow_pack_double(p, &w->below_damaged_s);
    ow_pack_double(p, &w->below_killed_s);
    ow_pack_bool(p, &w->damaged);
    ow_pack_bool(p, &w->killed);
    ow_pack_time(p, &w->damaged_at);
    ow_pack_time(p, &w->killed_at);
    ow_pack_double(p, &w->lowest_c);
    ow_pack_time(p, &w->lowest_at);
}

static void pack_thaw(ow_pack *p, ow_thaw_watch *w)
{
    ow_pack_double(p, &w->last_c);
    ow_pack_bool(p, &w->in_sun);
    ow_pack_bool(p, &w->frozen_at_sun);
    ow_pack_bool(p, &w->too_quick);
    ow_pack_time(p, &w->too_quick_at);
}

static void pack_drought(ow_pack *p, ow_drought *d)
{
    ow_pack_double(p, &d->clock_s);
    ow_pack_double(p, &d->frozen_s);
    ow_pack_double(p, &d->open_s);
    ow_pack_bool(p, &d->frozen_through);
    ow_pack_bool(p, &d->running);
    ow_pack_bool(p, &d->was_frozen);
}

static void pack_hardening(ow_pack *p, ow_hardening *h)
{
    ow_pack_double(p, &h->hardened);
    ow_pack_double(p, &h->mean_c);
    ow_pack_bool(p, &h->south);
    ow_pack_bool(p, &h->spring);
}

static void pack_marks(ow_pack *p, ow_marks *m)
{
    ow_pack_double(p, &m->half_s);
    ow_pack_double(p, &m->nine_tenths_s);
    ow_pack_double(p, &m->thaw_half_s);
    ow_pack_double(p, &m->thaw_gone_s);
    ow_pack_double(p, &m->last_ice);
}

static void pack_condition(ow_pack *p, ow_condition *c)
{
    for (int i = 0; i < OW_PARTS; i++) {
        pack_watch(p, &c->watch[i]);
        pack_thaw(p, &c->thaw[i]);
    }
    pack_drought(p, &c->drought);
    pack_hardening(p, &c->hardening);
    pack_marks(p, &c->marks);
    ow_pack_double(p, &c->frozen_through_s);
    ow_pack_doubles(p, c->compared_c, OW_PARTS);
}

void ow_plant_pack(ow_pack *p, ow_plant_state *s)
{
    ow_pack_text(p, s->home, sizeof s->home);
    ow_pack_text(p, s->place, sizeof s->place);
    ow_pack_int64(p, &s->limits);
    ow_pack_bool(p, &s->has_trunk);
    ow_pack_bool(p, &s->has_tray);
    ow_body_pack(p, &s->root);
    if (s->has_trunk) {
        ow_body_pack(p, &s->trunk);
    }
    ow_pack_double(p, &s->tray.depth_m);
    ow_pack_double(p, &s->tray.j_m2);
    ow_pack_int(p, &s->worn, 0, OW_WORN_MAX);
    for (int i = 0; p->status == OW_OK && i < s->worn; i++) {
        pack_worn(p, &s->cover[i]);
    }
    pack_sense(p, &s->sense);
    pack_condition(p, &s->condition);
}

static void put_dress(const ow_garden *g, const ow_plant_state *s, ow_actor *a, ow_report *report)
{
    a->dress = (ow_dress){.n = 0};
    for (int i = 0; i < s->worn; i++) {
        int cover = ow_cover_named(g, s->cover[i].id);
        if (cover < 0 || ow_dress_add(&a->dress, g, cover) != OW_OK) {
            ow_say(report, "store: %s wore %s, which the garden file no longer has; taken as off",
                   g->plants[a->plant].id, s->cover[i].id);
            continue;
        }
        a->dress.cover[a->dress.n - 1].state = s->cover[i].state;
    }
}

/* Where a person put it counts, unless the file says something new. */
static void put_place(const ow_garden *g, const ow_plant_state *s, ow_actor *a, ow_report *report)
{
    const ow_plant *plant = &g->plants[a->plant];
    int place = ow_place_named(g, s->place);
    if (strcmp(s->home, plant->place.id) != 0) {
        ow_say(report, "store: the garden file has %s in %s now, so that is where it is",
               plant->id, plant->place.id);
        place = plant->place.at;
    } else if (place < 0) {
        ow_say(report, "store: %s stood in %s, which is gone; taken to be in %s", plant->id,
               s->place, plant->place.id);
        place = plant->place.at;
    }
    a->place = place;
}

static void put_condition(const ow_garden *g, const ow_plant_state *s, ow_actor *a,
                          ow_report *report)
{
    const ow_plant *plant = &g->plants[a->plant];
    ow_condition started = a->condition;
    a->condition = s->condition;
    if (s->condition.hardening.south != started.hardening.south) {
        ow_say(report, "store: the garden file lies on the other side of the equator now; how "
                       "hardened %s is begins anew", plant->id);
        a->condition.hardening = started.hardening;
    }
    if (s->limits == limits_of(&plant->tolerance)) {
        return;
    }
    ow_say(report, "store: the limits of %s have been edited; those it passed before are forgotten",
           plant->id);
    memcpy(a->condition.watch, started.watch, sizeof started.watch);
    memcpy(a->condition.compared_c, started.compared_c, sizeof started.compared_c);
}

bool ow_plant_fits(const ow_scene *scene, int i, const ow_plant_state *s)
{
    const ow_actor *a = &scene->cast->actor[i];
    const ow_block *trunk = trunk_of(scene->cast, a);
    const ow_hardening *h = &s->condition.hardening;
    return ow_body_fits(root_of(scene->cast, a), a->root.lane, &s->root) &&
           s->has_trunk == (trunk != NULL) &&
           (trunk == NULL || ow_body_fits(trunk, a->trunk.lane, &s->trunk)) && h->hardened >= 0.0 &&
           h->hardened <= 1.0;
}

void ow_plant_put(ow_scene *scene, int i, const ow_plant_state *s, ow_report *report)
{
    const ow_garden *g = scene->garden;
    ow_actor *a = &scene->cast->actor[i];
    ow_body_put(root_of(scene->cast, a), a->root.lane, &s->root);
    if (s->has_trunk) {
        ow_body_put(trunk_of(scene->cast, a), a->trunk.lane, &s->trunk);
    }
    if (s->has_tray && a->has_tray && s->tray.depth_m == a->tray.depth_m &&
        ow_is_body_c(ow_tray_c(&s->tray))) {
        a->tray = s->tray;
    }
    a->sense = s->sense;
    put_place(g, s, a, report);
    put_dress(g, s, a, report);
    put_condition(g, s, a, report);
}
