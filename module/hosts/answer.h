/* SPDX-License-Identifier: MIT */
/* From a person's words to the message that a garden's settable property takes. Pure. */
#ifndef OVERWINTER_HOSTS_ANSWER_H
#define OVERWINTER_HOSTS_ANSWER_H

#include <cjson/cJSON.h>
#include <stdbool.h>
#include <stddef.h>

#include "status.h"

enum { OW_ANSWER_NODE = 128, OW_ANSWER_TEXT = 4096 };

/* What a person says; value and who may be NULL. */
typedef struct ow_words {
    const char *thing, *word, *value, *who;
} ow_words;

typedef struct ow_answer {
    char node[OW_ANSWER_NODE]; /* of the tree */
    const char *property;      /* the description's own text */
    char payload[OW_ANSWER_TEXT];
} ow_answer;

/*
 * Finds node and property in a `$description`: a thing by its id (a member of the household also
 * without "household-"), a word by the property's id ("moved" is "place"). What is not known is
 * told with the choices: OW_BAD_INPUT.
 */
OW_CHECK ow_status ow_answer_find(const cJSON *description, const ow_words *words,
                                  ow_report *report, ow_answer *answer);

/* The topic below the device where the value stands that is meant when none is given: the jobs of
 * `done`, the notice of `noticed`. False: there is no such. */
bool ow_answer_meant_topic(const ow_answer *answer, char *topic, size_t room);

/*
 * Writes the payload. `meant` is what stands at the topic above, NULL when nothing does. Told and
 * OW_BAD_INPUT: a value that is not among the choices, is missing, or is one too many.
 */
OW_CHECK ow_status ow_answer_fill(const cJSON *description, const ow_words *words,
                                  const cJSON *meant, ow_report *report, ow_answer *answer);

#endif
