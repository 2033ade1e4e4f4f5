/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How often the maker is willing to look at the lure in the tank, and with what. */
#include "build/sections.h"

static const char *const names[BLY_TOOLS] = {
    [BLY_TOOL_STOPWATCH] = "stopwatch",   [BLY_TOOL_PHOTO] = "photo",
    [BLY_TOOL_THREAD] = "thread",         [BLY_TOOL_WEIGHTS] = "weights",
    [BLY_TOOL_FLOAT_LINE] = "float_line",
};

const char *bly_tool_name(BlyTool tool) {
    return (unsigned)tool < BLY_TOOLS ? names[tool] : "";
}

static bool read_tools(const BlyJson *list, unsigned *out, BlyError *err) {
    if (!bly_json_array(list, 1, BLY_TOOLS, err))
        return false;
    *out = 0;
    for (BlyJson item = bly_json_first(list); item.node != NULL; bly_json_next(&item)) {
        size_t tool;
        if (!bly_json_word(&item, names, BLY_TOOLS, &tool, err))
            return false;
        if (*out & 1u << tool)
            return bly_json_refuse(&item, BLY_E_CONFLICT, err, "%s appears twice", names[tool]);
        *out |= 1u << tool;
    }
    return true;
}

bool build_read_tests(const BlyJson *target, BlyBuild *build, BlyError *err) {
    BlyJson tests, tools;
    int64_t count = BLY_TESTS_USUAL;
    if (build_member(target, "tests", &tests) &&
        !bly_json_integer(&tests, 0, BLY_TESTS_MAX, &count, err))
        return false;
    build->tests = (int)count;
    return !build_member(target, "tools", &tools) || read_tools(&tools, &build->tools, err);
}
