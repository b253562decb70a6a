// SPDX-License-Identifier: Apache-2.0
// Bytes of page/*; the definitions are made by embed.cmake at build time. Inside this folder only.
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

}  // namespace leadwright::page_bytes
