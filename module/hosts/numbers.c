/* SPDX-License-Identifier: MIT */
#include "hosts/numbers.h"

#include <math.h>
#include <string.h>

#include "physics/calendar.h"

char *ow_fixed(double value, int decimals, char text[OW_NUMBER_TEXT])
{
    text[0] = '\0';
    if (isfinite(value)) {
        snprintf(text, OW_NUMBER_TEXT, "%.*f", decimals, value);
        if (text[0] == '-' && strspn(text + 1, "0.") == strlen(text + 1)) {
            memmove(text, text + 1, strlen(text));
        }
    }
    return text;
}

void ow_csv_text(FILE *file, const char *text)
{
    if (strpbrk(text, ",\"\r\n") == NULL) {
        fputs(text, file);
        return;
    }
    fputc('"', file);
    for (; *text != '\0'; text++) {
        fputs(*text == '"' ? "\"" : "", file);
        fputc(*text, file);
    }
    fputc('"', file);
}

void ow_csv_number(FILE *file, double value, int decimals)
{
    char text[OW_NUMBER_TEXT];
    fprintf(file, ",%s", ow_fixed(value, decimals, text));
}

void ow_csv_time(FILE *file, int64_t utc_s)
{
    char text[OW_TIME_TEXT];
    fputs(ow_time_format(utc_s, text), file);
}
