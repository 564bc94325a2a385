/* SPDX-License-Identifier: MIT */
/* The states of a plant, worst first; the words are the states' names everywhere. */
#ifndef OVERWINTER_JUDGEMENT_STATE_H
#define OVERWINTER_JUDGEMENT_STATE_H

#define OW_STATE_LIST(X)                                                                           \
    X(OW_STATE_NO_READING, "no reading")                                                           \
    X(OW_STATE_THAW_NEEDED, "thaw needed")                                                         \
    X(OW_STATE_CARRY_IN, "carry in")                                                               \
    X(OW_STATE_COVER_SOON, "cover soon")                                                           \
    X(OW_STATE_THAWING, "thawing")                                                                 \
    X(OW_STATE_WAIT_AND_SEE, "wait and see")                                                       \
    X(OW_STATE_UNCOVER, "uncover")                                                                 \
    X(OW_STATE_CARRY_OUT, "carry out")                                                             \
    X(OW_STATE_HOLD, "hold")

typedef enum ow_state {
#define OW_STATE_ENUM(name, word) name,
    OW_STATE_LIST(OW_STATE_ENUM)
#undef OW_STATE_ENUM
        OW_STATES
} ow_state;

const char *ow_state_word(ow_state state);

#endif
