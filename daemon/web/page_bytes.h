// SPDX-License-Identifier: Apache-2.0
// Bytes of page/* and api/*; the definitions are made by embed.cmake at build time. Inside this folder only.
#pragma once

#include <string_view>

namespace leadwright::page_bytes {

std::string_view index_html();
std::string_view page_js();
std::string_view api_js();
std::string_view dom_js();
std::string_view dialog_js();
std::string_view places_js();
std::string_view queue_js();
std::string_view chart_js();
std::string_view drop_off_js();
std::string_view ticket_js();
std::string_view instruments_js();
std::string_view page_css();
std::string_view icon_svg();

std::string_view bench_json();
std::string_view grade_json();
std::string_view headers_json();
std::string_view instruments_json();
std::string_view parameters_json();
std::string_view problem_json();
std::string_view procedures_json();
std::string_view requests_json();
std::string_view runs_json();
std::string_view ticket_page_json();
std::string_view tickets_json();

}  // namespace leadwright::page_bytes
