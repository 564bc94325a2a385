/* SPDX-License-Identifier: MIT */
#include "plants/spelling.h"

#include <string.h>

#define MOST 64

static int least_of(int a, int b)
{
    return a < b ? a : b;
}

/* One row of the table of distances. */
static void distance_row(const char *left, const char *right, size_t i, size_t n,
                         int row[3][MOST + 1])
{
    int *now = row[i % 3], *before = row[(i + 2) % 3], *earlier = row[(i + 1) % 3];
    now[0] = (int)i;
    for (size_t j = 1; j <= n; j++) {
        int change = left[i - 1] == right[j - 1] ? 0 : 1;
        now[j] = least_of(before[j - 1] + change, least_of(before[j], now[j - 1]) + 1);
        if (i > 1 && j > 1 && left[i - 1] == right[j - 2] && left[i - 2] == right[j - 1]) {
            now[j] = least_of(now[j], earlier[j - 2] + 1);
        }
    }
}

int ow_edit_distance_of(const char *left, size_t left_size, const char *right, size_t right_size)
{
    int row[3][MOST + 1];
    size_t m = left_size < MOST ? left_size : MOST, n = right_size < MOST ? right_size : MOST;
    for (size_t j = 0; j <= n; j++) {
        row[0][j] = (int)j;
    }
    for (size_t i = 1; i <= m; i++) {
        distance_row(left, right, i, n, row);
    }
    return row[m % 3][n];
}

int ow_edit_distance(const char *left, const char *right)
{
    return ow_edit_distance_of(left, strlen(left), right, strlen(right));
}
