// SPDX-License-Identifier: Apache-2.0
// Paths of the files of the page, for the table of operations. Inside this folder only.
#pragma once

#include <array>

namespace leadwright {

inline constexpr std::array page_paths{
    "/",
    "/page.js",
    "/amounts.js",
    "/api.js",
    "/batch.js",
    "/batch_rules.js",
    "/battery_form.js",
    "/cautions.js",
    "/chart.js",
    "/chart_draw.js",
    "/chart_scale.js",
    "/chart_zoom.js",
    "/codes_en.js",
    "/codes_es.js",
    "/dialog.js",
    "/dom.js",
    "/drop_off.js",
    "/findings.js",
    "/fitting.js",
    "/fitting_answer.js",
    "/fitting_en.js",
    "/fitting_es.js",
    "/inspection.js",
    "/inspection_pictures.js",
    "/instruments.js",
    "/intake_en.js",
    "/intake_es.js",
    "/override.js",
    "/people.js",
    "/photos.js",
    "/place_dialogs.js",
    "/places.js",
    "/queue.js",
    "/queue_controls.js",
    "/queue_order.js",
    "/receipt.js",
    "/settings.js",
    "/sign_in.js",
    "/start.js",
    "/start_plan.js",
    "/ticket.js",
    "/words.js",
    "/words_en.js",
    "/words_es.js",
    "/work_en.js",
    "/work_es.js",
    "/page.css",
    "/work.css",
    "/print.css",
    "/icon.svg",
};

}  // namespace leadwright
