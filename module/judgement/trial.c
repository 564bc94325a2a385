/* SPDX-License-Identifier: MIT */
#include "judgement/trial.h"

static void lay(const ow_trial *t, const ow_garden *garden, ow_dress *dress)
{
    for (int i = 0; i < t->covers; i++) {
        if (ow_dress_lay_again(dress, t->cover[i])) {
            continue;
        }
        if (ow_dress_add(dress, garden, t->cover[i]) != OW_OK) {
            break;
        }
        if (t->point) {
            dress->cover[dress->n - 1].on = OW_ZONE_GROWING_POINT;
        }
    }
}

void ow_trial_apply(const ow_trial *t, const ow_garden *garden, ow_actor *actor)
{
    if (t->place >= 0) {
        actor->place = t->place;
    }
    if (t->bare) {
        actor->dress.n = 0;
    }
    if (t->sheds) {
        (void)!ow_dress_remove(&actor->dress, t->shed); /* the wind may have had it */
    }
    lay(t, garden, &actor->dress);
}

void ow_trial_play(const ow_trial *t, ow_cast *cast, int actor)
{
    ow_trial_apply(t, cast->garden, &cast->actor[actor]);
    if (t->wet) {
        ow_cast_water(cast, actor);
    }
}

bool ow_trial_same(const ow_trial *a, const ow_trial *b)
{
    bool same = a->place == b->place && a->covers == b->covers && a->bare == b->bare &&
                a->point == b->point && a->wet == b->wet && a->warm == b->warm &&
                a->sheds == b->sheds && (!a->sheds || a->shed == b->shed);
    for (int i = 0; same && i < a->covers; i++) {
        same = a->cover[i] == b->cover[i];
    }
    return same;
}
