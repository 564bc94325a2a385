/* SPDX-License-Identifier: MIT */
#include "physics/calendar.h"

#include <stdbool.h>

/* Days from 0000-03-01 to 1970-01-01: years begin in March, so that a leap day comes last. */
#define DAYS_TO_EPOCH 719468
#define DAYS_IN_400_YEARS 146097

static int64_t floor_div(int64_t a, int64_t b)
{
    return a / b - (a % b < 0 ? 1 : 0);
}

static int64_t day_number(ow_utc_s time_s)
{
    return floor_div(time_s, OW_DAY_S);
}

static bool is_leap(int year)
{
    return (year % 4 == 0 && year % 100 != 0) || year % 400 == 0;
}

/* Days from 1 March to the first of the m-th month after March: 31,30,31,30,31 repeats. */
static int days_before_month(int months_since_march)
{
    return (153 * months_since_march + 2) / 5;
}

static int64_t days_from_date(int year, int month, int day)
{
    int months_since_march = (month + 9) % 12;
    int64_t y = (int64_t)year - (month <= 2 ? 1 : 0);
    int64_t leap_days = floor_div(y, 4) - floor_div(y, 100) + floor_div(y, 400);
    return 365 * y + leap_days + days_before_month(months_since_march) + day - 1 - DAYS_TO_EPOCH;
}

ow_date ow_date_of(ow_utc_s time_s)
{
    int64_t days = day_number(time_s);
    int64_t second_of_day = time_s - days * OW_DAY_S;
    int64_t era = floor_div(days + DAYS_TO_EPOCH, DAYS_IN_400_YEARS);
    int64_t in_era = days + DAYS_TO_EPOCH - era * DAYS_IN_400_YEARS;
    /* Take out the leap days before this one: 1460, 36524 and 146096 end 4, 100 and 400 years. */
    int64_t year = (in_era - in_era / 1460 + in_era / 36524 - in_era / 146096) / 365;
    int day_of_year = (int)(in_era - (365 * year + year / 4 - year / 100));
    int months_since_march = (5 * day_of_year + 2) / 153;
    int month = (months_since_march + 2) % 12 + 1;
    return (ow_date){
        .year = (int)(400 * era + year + (month <= 2 ? 1 : 0)),
        .month = month,
        .day = day_of_year - days_before_month(months_since_march) + 1,
        .hour = (int)(second_of_day / OW_HOUR_S),
        .minute = (int)(second_of_day / 60 % 60),
        .second = (int)(second_of_day % 60),
    };
}

ow_utc_s ow_time_of(const ow_date *date)
{
    return days_from_date(date->year, date->month, date->day) * OW_DAY_S + date->hour * OW_HOUR_S +
           date->minute * 60 + date->second;
}

int ow_day_of_year(ow_utc_s time_s)
{
    static const int before[] = {0, 31, 59, 90, 120, 151, 181, 212, 243, 273, 304, 334};
    ow_date date = ow_date_of(time_s);
    return before[date.month - 1] + date.day + (date.month > 2 && is_leap(date.year));
}

int ow_weekday(ow_utc_s time_s)
{
    int64_t days_since_monday = day_number(time_s) + 3; /* the epoch was a Thursday */
    return (int)(days_since_monday - 7 * floor_div(days_since_monday, 7));
}

const char *ow_weekday_name(ow_utc_s time_s)
{
    static const char *const names[] = {"Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun"};
    return names[ow_weekday(time_s)];
}

const char *ow_month_name(int month)
{
    static const char *const names[] = {"Jan", "Feb", "Mar", "Apr", "May", "Jun",
                                        "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"};
    return names[month - 1];
}

static bool is_digit(char c)
{
    return c >= '0' && c <= '9';
}

/* Takes one of the two characters; false, and nothing taken, when neither comes next. */
static bool take(const char **at, char either, char or_else)
{
    bool found = **at != '\0' && (**at == either || **at == or_else);
    *at += found ? 1 : 0;
    return found;
}

/* Exactly `digits` digits, of a value from low to high. */
static bool take_number(const char **at, int digits, int low, int high, int *value)
{
    int sum = 0;
    for (int i = 0; i < digits; i++, ++*at) {
        if (!is_digit(**at)) {
            return false;
        }
        sum = sum * 10 + (**at - '0');
    }
    *value = sum;
    return sum >= low && sum <= high;
}

static bool take_date(const char **at, ow_date *date)
{
    static const int days_in_month[] = {31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};
    if (!take_number(at, 4, 1, 9999, &date->year) || !take(at, '-', '-') ||
        !take_number(at, 2, 1, 12, &date->month) || !take(at, '-', '-')) {
        return false;
    }
    int leap_day = date->month == 2 && is_leap(date->year) ? 1 : 0;
    return take_number(at, 2, 1, days_in_month[date->month - 1] + leap_day, &date->day);
}

static bool take_clock(const char **at, ow_date *date)
{
    if (!take_number(at, 2, 0, 23, &date->hour) || !take(at, ':', ':') ||
        !take_number(at, 2, 0, 59, &date->minute)) {
        return false;
    }
    if (!take(at, ':', ':')) {
        return true;
    }
    if (!take_number(at, 2, 0, 59, &date->second)) {
        return false;
    }
    if (!take(at, '.', '.')) {
        return true;
    }
    bool any = is_digit(**at);
    while (is_digit(**at)) {
        ++*at;
    }
    return any;
}

/* Z, an offset, or nothing (UTC). */
static bool take_offset(const char **at, int *offset_s)
{
    int hours = 0;
    int minutes = 0;
    *offset_s = 0;
    if (**at == '\0' || take(at, 'Z', 'Z')) {
        return true;
    }
    int sign = **at == '-' ? -1 : 1;
    if (!take(at, '+', '-') || !take_number(at, 2, 0, 23, &hours) || !take(at, ':', ':') ||
        !take_number(at, 2, 0, 59, &minutes)) {
        return false;
    }
    *offset_s = sign * (hours * OW_HOUR_S + minutes * 60);
    return true;
}

ow_status ow_time_parse(const char *text, ow_utc_s *time_s)
{
    ow_date date = {0};
    int offset_s = 0;
    const char *at = text;
    if (!take_date(&at, &date)) {
        return OW_BAD_INPUT;
    }
    bool has_clock = take(&at, 'T', ' ');
    if (has_clock && !(take_clock(&at, &date) && take_offset(&at, &offset_s))) {
        return OW_BAD_INPUT;
    }
    if (*at != '\0') {
        return OW_BAD_INPUT;
    }
    *time_s = ow_time_of(&date) - offset_s;
    return OW_OK;
}

/* The last `digits` decimal digits of value, then one more character. */
static char *put(char *at, int value, int digits, char then)
{
    for (int i = digits - 1; i >= 0; i--) {
        at[i] = (char)('0' + value % 10);
        value /= 10;
    }
    at[digits] = then;
    return at + digits + 1;
}

char *ow_time_format(ow_utc_s time_s, char text[OW_TIME_TEXT])
{
    ow_date date = ow_date_of(time_s);
    char *at = put(text, date.year < 0 ? -date.year : date.year, 4, '-');
    at = put(at, date.month, 2, '-');
    at = put(at, date.day, 2, 'T');
    at = put(at, date.hour, 2, ':');
    at = put(at, date.minute, 2, ':');
    at = put(at, date.second, 2, 'Z');
    *at = '\0';
    return text;
}
