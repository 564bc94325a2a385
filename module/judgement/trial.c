/* SPDX-License-Identifier: MIT */
#include "judgement/trial.h"

void ow_trial_apply(const ow_trial *t, const ow_garden *garden, ow_actor *actor)
{
    if (t->place >= 0) {
        actor->place = t->place;
    }
    if (t->bare) {
        actor->dress.n = 0;
    }
    for (int i = 0; i < t->covers; i++) {
        if (ow_dress_lay_again(&actor->dress, t->cover[i])) {
            continue;
        }
        if (ow_dress_add(&actor->dress, garden, t->cover[i]) != OW_OK) {
            break;
        }
        if (t->point) {
            actor->dress.cover[actor->dress.n - 1].on = OW_ZONE_GROWING_POINT;
        }
    }
}

bool ow_trial_same(const ow_trial *a, const ow_trial *b)
{
    bool same = a->place == b->place && a->covers == b->covers && a->bare == b->bare &&
                a->point == b->point;
    for (int i = 0; same && i < a->covers; i++) {
        same = a->cover[i] == b->cover[i];
    }
    return same;
}
