/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Widths of text against cairo, a general-purpose library, with the font that the drawings name;
 * escaping against the XML 1.0 recommendation (5th edition, 2.2 and 4.6); UTF-8 against RFC 3629.
 */
#include "support/check.h"
#include "sheet/letters.h"

#include <cairo.h>

static const char *const samples[] = {
    "Weigh ladder",
    "90 of 100 such lures weigh +36 mg to +303 mg in it",
    "iiiiillllltttt....,,,,''''",
    "WWWWMMMM@@@@%%%%",
    "abcdefghijklmnopqrstuvwxyz ABCDEFGHIJKLMNOPQRSTUVWXYZ 0123456789",
    "!\"#$%&'()*+,-./:;<=>?@[\\]^_`{|}~",
    "m\xC3\xBCtze \xC3\xA4\xC3\xB6\xC3\x9F \xC5\x92uvre \xC4\x90\xC5\x82",
};

static double by_cairo(TextStyle style, const char *text) {
    cairo_surface_t *surface = cairo_image_surface_create(CAIRO_FORMAT_A8, 8, 8);
    cairo_t *cairo = cairo_create(surface);
    cairo_font_options_t *options = cairo_font_options_create();
    cairo_font_options_set_hint_style(options, CAIRO_HINT_STYLE_NONE);
    cairo_font_options_set_hint_metrics(options, CAIRO_HINT_METRICS_OFF);
    cairo_set_font_options(cairo, options);
    cairo_select_font_face(cairo, "DejaVu Sans", CAIRO_FONT_SLANT_NORMAL,
                           style >= TEXT_STRONG ? CAIRO_FONT_WEIGHT_BOLD
                                                : CAIRO_FONT_WEIGHT_NORMAL);
    cairo_set_font_size(cairo, 1000 * text_size(style));
    cairo_text_extents_t extents;
    cairo_text_extents(cairo, text, &extents);
    cairo_font_options_destroy(options);
    cairo_destroy(cairo);
    cairo_surface_destroy(surface);
    return 1e-3 * extents.x_advance;
}

/* Never narrower than it prints; for plain English not more than a hundredth wider. */
static void widths_are_on_the_wide_side(void **state) {
    (void)state;
    for (int style = 0; style < TEXT_STYLES; style++) {
        for (size_t i = 0; i < sizeof samples / sizeof samples[0]; i++) {
            double ours = text_width((TextStyle)style, samples[i]);
            double printed = by_cairo((TextStyle)style, samples[i]);
            assert_true(ours >= printed - 0.002 * printed);
            if (i < 6)
                assert_close(ours, printed, 0, 0.01);
        }
    }
}

static void check_escape(const char *text, const char *expected) {
    BlyText out = {0};
    text_escape(&out, text);
    assert_string_equal(bly_text_string(&out), expected);
    bly_text_release(&out);
}

static void markup_is_escaped(void **state) {
    (void)state;
    check_escape("a < b & c > \"d\" 'e'", "a &lt; b &amp; c &gt; &quot;d&quot; &#39;e&#39;");
    check_escape("]]>", "]]&gt;");
    check_escape("&amp;", "&amp;amp;");
    check_escape("\xC3\xA4 \xE6\xBC\xA2 \xF0\x9F\x8E\xA3",
                 "\xC3\xA4 \xE6\xBC\xA2 \xF0\x9F\x8E\xA3");
}

#define SHOWN "\xEF\xBF\xBD"

static void what_no_reader_should_see_is_replaced(void **state) {
    (void)state;
    check_escape("a\nb\tc\x1b[31m\x7f", "a" SHOWN "b" SHOWN "c" SHOWN "[31m" SHOWN);
    check_escape("\xC2\x85", SHOWN);                       /* a C1 control */
    check_escape("x\xE2\x80\xAEy", "x" SHOWN "y");         /* U+202E turns the line around */
    check_escape("x\xE2\x81\xA6y", "x" SHOWN "y");         /* U+2066, an isolate */
    check_escape("\xEF\xBF\xBE\xEF\xBB\xBF", SHOWN SHOWN); /* U+FFFE, U+FEFF */
    check_escape("\x80", SHOWN);                           /* no first byte */
    check_escape("\xC0\xAF", SHOWN SHOWN);                 /* overlong: C0 never begins one */
    check_escape("\xE0\x80\xAF", SHOWN);                   /* overlong */
    check_escape("\xED\xA0\x80", SHOWN);                   /* a surrogate */
    check_escape("\xF4\x90\x80\x80", SHOWN);               /* beyond U+10FFFF */
    check_escape("a\xC3", "a" SHOWN);                      /* cut off */
    check_escape("\xE6\xBC(", SHOWN "(");                  /* broken off by another */
}

static void text_is_cut_to_its_room(void **state) {
    (void)state;
    const char *text = "a name that is too long for its column";
    for (double room = 0; room < 80; room += 0.37) {
        BlyText out = {0};
        text_clip(&out, TEXT_PLAIN, text, room);
        assert_true(text_width(TEXT_PLAIN, bly_text_string(&out)) <= room);
        if (text_width(TEXT_PLAIN, text) <= room)
            assert_string_equal(bly_text_string(&out), text);
        else if (out.length > 0)
            assert_string_equal(bly_text_string(&out) + out.length - 3, "...");
        bly_text_release(&out);
    }
}

static void check_break(const char *text, double width, const char *first) {
    size_t length = text_break(TEXT_PLAIN, text, width);
    assert_int_equal(length, strlen(first));
    assert_memory_equal(text, first, length);
}

static void lines_break_at_blanks(void **state) {
    (void)state;
    double two = text_width(TEXT_PLAIN, "one two");
    check_break("one two three", two + 0.01, "one two");
    check_break("one two three", two - 0.01, "one");
    check_break("one two", 100, "one two");
    check_break("unbreakable", text_width(TEXT_PLAIN, "unbr") + 0.01, "unbr");
    check_break("WWW", 0.1, "W"); /* at least one, or nothing would ever end */
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(widths_are_on_the_wide_side),
        cmocka_unit_test(markup_is_escaped),
        cmocka_unit_test(what_no_reader_should_see_is_replaced),
        cmocka_unit_test(text_is_cut_to_its_room),
        cmocka_unit_test(lines_break_at_blanks),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
