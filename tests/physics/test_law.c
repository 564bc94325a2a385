/* SPDX-License-Identifier: MIT */
/* The constitutive law: what it refuses, its inverse, its shape, and how far its chords lie from
 * the power law they stand for. */
#include <stdarg.h>
#include <stddef.h>
#include <setjmp.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include <cmocka.h>

#include "check.h"
#include "physics/law.h"

static const ow_medium WET_MIX = {0.5, 1.5, 3.6e6, 2.0e6, 2.338e8, -0.1, 0.8};

static ow_law law_of(const ow_medium *m, int hinges)
{
    ow_law law;
    assert_int_equal(ow_law_of_medium(m, hinges, &law), OW_OK);
    return law;
}

/* ---- the power law itself, by its own arithmetic ---- */

static double true_ice(const ow_medium *m, double t)
{
    return t >= m->freezing_c ? 0 : 1 - pow(t / m->freezing_c, -m->curve_exponent);
}

/* Simpson in log(T/Tf), where the curve is smooth. */
static double true_integral(const ow_medium *m, double t, double thawed, double frozen)
{
    enum { PARTS = 400 };
    if (t >= m->freezing_c) {
        return thawed * t;
    }
    double end = log(t / m->freezing_c), step = end / PARTS, sum = 0;
    for (int i = 0; i <= PARTS; i++) {
        double at = m->freezing_c * exp(i * step);
        double weight = i == 0 || i == PARTS ? 1 : i % 2 ? 4 : 2;
        sum += weight * at * (thawed + (frozen - thawed) * true_ice(m, at));
    }
    return thawed * m->freezing_c + sum * step / 3;
}

static double true_h(const ow_medium *m, double t)
{
    return true_integral(m, t, m->thawed_j_m3k, m->frozen_j_m3k) - m->latent_j_m3 * true_ice(m, t);
}

/* Growing media: Tf -0.02 to -0.3 C, exponent 0.5 to 1.5. */
static const double FREEZING_C[4] = {-0.02, -0.05, -0.1, -0.3};
static const double EXPONENT[4] = {0.5, 0.8, 1.0, 1.5};

typedef struct miss {
    double t_k, u_rel, ice;
} miss;

static void widen(miss *m, const ow_medium *medium, const ow_law *law, double t)
{
    double h = true_h(medium, t);
    double u = true_integral(medium, t, medium->thawed_w_mk, medium->frozen_w_mk);
    double t_miss = fabs(ow_law_t(law, h) - t);
    m->t_k = fmax(m->t_k, t_miss / fmax(1, -t));
    m->u_rel = fmax(m->u_rel, fabs(ow_law_u(law, h) - u) / (medium->frozen_w_mk * fmax(1, -t)));
    m->ice = fmax(m->ice, fabs(ow_law_ice(law, h) - true_ice(medium, t)));
}

/*
 * At a given enthalpy, down to -20 C: temperature and potential per kelvin below zero (at least
 * one), ice share. The bounds are the project's own for 12 and 8 hinges.
 */
static void chords_stay_near(void **state)
{
    (void)state;
    static const struct {
        int hinges;
        double t_k, u_rel, ice;
    } row[] = {{12, 0.12, 0.12, 0.003}, {8, 0.3, 0.3, 0.005}};
    for (size_t r = 0; r < sizeof row / sizeof *row; r++) {
        miss m = {0};
        for (int i = 0; i < 16; i++) {
            ow_medium medium = WET_MIX;
            medium.freezing_c = FREEZING_C[i / 4];
            medium.curve_exponent = EXPONENT[i % 4];
            ow_law law = law_of(&medium, row[r].hinges);
            for (double t = 5; t > -20; t -= 0.05) {
                widen(&m, &medium, &law, t);
            }
        }
        printf("# %d hinges, worst: %.3f K per K, potential %.3f, share %.4f\n", row[r].hinges,
               m.t_k, m.u_rel, m.ice);
        check_between("temperature", m.t_k, 0, row[r].t_k);
        check_between("potential", m.u_rel, 0, row[r].u_rel);
        check_between("ice share", m.ice, 0, row[r].ice);
    }
}

/* ---- shape ---- */

static void inverse_is_consistent(void **state)
{
    (void)state;
    for (int i = 0; i < 16; i++) {
        ow_medium medium = WET_MIX;
        medium.freezing_c = FREEZING_C[i / 4];
        medium.curve_exponent = EXPONENT[i % 4];
        ow_law law = law_of(&medium, 12);
        for (double t = 40; t > -50; t -= 0.037) {
            check_close("t of h of t", ow_law_t(&law, ow_law_h(&law, t)), t, 1e-9, 1e-12);
        }
        for (int k = 0; k < law.hinges; k++) {
            check_close("t at a hinge", ow_law_t(&law, law.h_j_m3[k]), law.t_c[k], 1e-12, 0);
            check_close("u at a hinge", ow_law_u(&law, law.h_j_m3[k]), law.u_w_m[k], 1e-12, 0);
        }
    }
}

static void all_run_one_way(void **state)
{
    (void)state;
    for (int i = 0; i < 32; i++) {
        ow_medium medium = WET_MIX;
        medium.freezing_c = FREEZING_C[i / 4 % 4];
        medium.curve_exponent = EXPONENT[i % 4];
        ow_law law = law_of(&medium, i < 16 ? 12 : 8);
        double t = INFINITY, u = INFINITY, ice = 0;
        for (double h = 5e7; h > -3.5e8; h -= 5e5) {
            double t_new = ow_law_t(&law, h), u_new = ow_law_u(&law, h);
            double ice_new = ow_law_ice(&law, h), relative = ow_law_relative_ice(&law, h);
            assert_true(t_new < t);
            assert_true(u_new < u);
            assert_true(ice_new >= ice);
            check_between("ice share", ice_new, 0, 1);
            check_between("relative ice", relative, 0, 1);
            t = t_new;
            u = u_new;
            ice = ice_new;
        }
    }
}

static void landmarks(void **state)
{
    (void)state;
    ow_law law = law_of(&WET_MIX, 12);
    check_close("h at 0 C", ow_law_h(&law, 0), 0, 1e-3, 0);
    check_close("h at 10 C", ow_law_h(&law, 10), 3.6e7, 0, 1e-12);
    check_close("no ice thawed", ow_law_ice(&law, 0), 0, 0, 0);
    check_close("u at 0 C", ow_law_u(&law, 0), 0, 1e-12, 0);
    check_close("u at 4 C", ow_law_u(&law, ow_law_h(&law, 4)), 2, 1e-9, 0);
    check_close("share at -5 C", law.ice_at_minus5, 1 - pow(50, -0.8), 0, 1e-12);
    /* with Tf -0.1 C and exponent 0.8: about 0.93 at -3 C and 0.96 at -6 C */
    check_close("share at -3 C", ow_law_ice(&law, true_h(&WET_MIX, -3)), 0.934, 0.01, 0);
    check_close("share at -6 C", ow_law_ice(&law, true_h(&WET_MIX, -6)), 0.962, 0.01, 0);
    check_close("relative at -8 C", ow_law_relative_ice(&law, ow_law_h(&law, -8)), 1, 0, 0);
}

static void sharp_front(void **state)
{
    (void)state;
    const double t[2] = {0, 0}, h[2] = {0, -3e8}, ice[2] = {0, 1}, k[1] = {1};
    ow_law law;
    assert_int_equal(ow_law_of_nodes(2, t, h, ice, k, 4e6, 0.5, 2e6, 2, &law), OW_OK);
    check_close("warm end", ow_law_h(&law, 0), 0, 0, 0);
    check_close("half ice", ow_law_ice(&law, -1.5e8), 0.5, 1e-12, 0);
    check_close("on the front", ow_law_t(&law, -1.5e8), 0, 0, 0);
    check_close("below", ow_law_t(&law, -3e8 - 2e6), -1, 1e-12, 0);
    check_close("potential below", ow_law_u(&law, -3e8 - 2e6), -2, 1e-12, 0);
    check_close("h below", ow_law_h(&law, -1), -3.02e8, 0, 1e-12);
    check_close("least k", law.least_w_mk, 0.5, 0, 0);
    check_close("most k", law.most_w_mk, 2, 0, 0);
}

/* ---- refusals ---- */

static void refuse_medium(ow_medium m, int hinges)
{
    ow_law law, before;
    memset(&law, 0x5a, sizeof law);
    memcpy(&before, &law, sizeof law);
    assert_int_equal(ow_law_of_medium(&m, hinges, &law), OW_BAD_INPUT);
    assert_memory_equal(&law, &before, sizeof law);
}

static void bad_media_are_refused(void **state)
{
    (void)state;
    static const double bad[] = {0, -1, NAN, INFINITY};
    refuse_medium(WET_MIX, 3);
    refuse_medium(WET_MIX, OW_HINGES + 1);
    for (size_t i = 0; i < sizeof bad / sizeof *bad; i++) {
        for (int field = 0; field < 4; field++) {
            ow_medium m = WET_MIX;
            double *value[4] = {&m.thawed_w_mk, &m.frozen_w_mk, &m.thawed_j_m3k, &m.frozen_j_m3k};
            *value[field] = bad[i];
            refuse_medium(m, 12);
        }
    }
    static const double bad_freezing[] = {0, 0.1, -0.0005, -3.1, NAN};
    static const double bad_exponent[] = {0, 0.1, 3.1, NAN};
    for (size_t i = 0; i < 5; i++) {
        ow_medium m = WET_MIX;
        m.freezing_c = bad_freezing[i];
        refuse_medium(m, 12);
    }
    for (size_t i = 0; i < 4; i++) {
        ow_medium m = WET_MIX;
        m.curve_exponent = bad_exponent[i];
        refuse_medium(m, 12);
    }
    static const double bad_latent[] = {-1, NAN, INFINITY};
    for (size_t i = 0; i < 3; i++) {
        ow_medium m = WET_MIX;
        m.latent_j_m3 = bad_latent[i];
        refuse_medium(m, 12);
    }
}

static void refuse_nodes(int n, const double *t, const double *h, double warm_c, double cold_k)
{
    const double ice[3] = {0, 0.5, 1}, k[2] = {1, 1};
    ow_law law, before;
    memset(&law, 0x5a, sizeof law);
    memcpy(&before, &law, sizeof law);
    assert_int_equal(ow_law_of_nodes(n, t, h, ice, k, warm_c, 1, 2e6, cold_k, &law), OW_BAD_INPUT);
    assert_memory_equal(&law, &before, sizeof law);
}

static void bad_nodes_are_refused(void **state)
{
    (void)state;
    const double t[3] = {0, -1, -2}, h[3] = {0, -1e8, -2e8};
    const double rising[3] = {0, 1, -2}, flat[3] = {0, -1e8, -1e8}, unknown[3] = {0, NAN, -2e8};
    refuse_nodes(0, t, h, 1e6, 1);
    refuse_nodes(OW_HINGES + 1, t, h, 1e6, 1);
    refuse_nodes(3, rising, h, 1e6, 1);
    refuse_nodes(3, t, flat, 1e6, 1);
    refuse_nodes(3, t, unknown, 1e6, 1);
    refuse_nodes(3, t, h, 0, 1);
    refuse_nodes(3, t, h, 1e6, -1);
}

/*
 * A medium whose freezing point is drawn anew: no ice comes or goes above -5 C, the temperature
 * stays below, and a law of the same curve moves neither. By ow_medium_drawn's own rule: the
 * curves meet at -5 C.
 */
static void ice_is_carried_from_law_to_law(void **state)
{
    (void)state;
    ow_medium other = WET_MIX;
    other.latent_j_m3 *= 0.7;
    ow_law here = law_of(&WET_MIX, 12), drier = law_of(&other, 12);
    for (int k = 0; k < 4; k++) {
        ow_medium moved = WET_MIX;
        moved.freezing_c = FREEZING_C[k];
        moved.curve_exponent *= log(5.0 / 0.1) / log(-5.0 / FREEZING_C[k]);
        ow_law there = law_of(&moved, 12);
        for (double t = 3.0; t > -19.0; t -= 0.037) {
            double h = ow_law_h(&here, t), ice = ow_law_ice(&here, h);
            double to = ow_law_carried(&there, &here, h);
            if (t <= -5.0 || (t >= -0.1 && t >= FREEZING_C[k])) {
                check_close("temperature", ow_law_t(&there, to), t, 1e-9, 0);
            }
            check_close("ice", ow_law_ice(&there, to), ice, t <= -5.0 ? 0.02 : 1e-9, 0);
            to = ow_law_carried(&drier, &here, h);
            check_close("same curve", ow_law_t(&drier, to), t, 1e-9, 0);
        }
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(chords_stay_near),      cmocka_unit_test(inverse_is_consistent),
        cmocka_unit_test(all_run_one_way),       cmocka_unit_test(landmarks),
        cmocka_unit_test(sharp_front),           cmocka_unit_test(bad_media_are_refused),
        cmocka_unit_test(bad_nodes_are_refused), cmocka_unit_test(ice_is_carried_from_law_to_law),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
