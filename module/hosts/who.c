/* SPDX-License-Identifier: MIT */
#include "hosts/who.h"

#include <stdbool.h>
#include <stdlib.h>
#include <string.h>

#include <mqtt_protocol.h>

char *ow_who_of(const mosquitto_property *properties)
{
    char *name = NULL, *value = NULL;
    bool later = false;
    while ((properties = mosquitto_property_read_string_pair(properties, MQTT_PROP_USER_PROPERTY,
                                                             &name, &value, later)) != NULL) {
        bool found = name != NULL && value != NULL && strcmp(name, OW_WHO) == 0;
        free(name);
        if (found) {
            return value;
        }
        free(value);
        name = value = NULL;
        later = true;
    }
    return NULL;
}
