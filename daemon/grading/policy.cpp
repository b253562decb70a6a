// SPDX-License-Identifier: Apache-2.0
#include "daemon/grading/policy.h"

#include <algorithm>
#include <string_view>

#include "daemon/battery/content_hash.h"
#include "protocol/text_file.h"
#include "protocol/toml_reader.h"

namespace leadwright {
namespace {

constexpr std::string_view letters = "ABCDFU";

struct Bounds {
  double lowest;
  double highest;
  const char* range;
};

void read_number(const TomlTable& root, std::string_view key, const Bounds& bounds, double& value) {
  const auto number = root.number(key);
  if (!number) return;
  if (*number < bounds.lowest || *number > bounds.highest) {
    root.error(key, "outside what is possible", std::string("write a number from ") + bounds.range);
    return;
  }
  value = *number;
}

void read_dispositions(const TomlTable& root, Policy& policy) {
  const TomlTable table = root.need_table("dispositions");
  if (!root.has("dispositions")) return;
  for (const char letter : letters) {
    const std::string key(1, letter);
    policy.dispositions[letter] = table.need_string(key);
  }
}

}  // namespace

tl::expected<Policy, std::vector<Error>> read_policy(std::string_view text, const std::string& file) {
  TomlDocument document = TomlDocument::parse(text, file);
  const TomlTable& root = document.root();
  Policy policy;
  policy.file = file;
  policy.hash = content_hash(text);
  policy.name = root.need_string("name");
  const std::int64_t version = root.need_integer("version");
  if (root.has("version") && (version < 1 || version > 1000000)) {
    root.error("version", "a version is a whole number from 1", "count up when the policy changes");
  }
  policy.version = static_cast<int>(std::clamp<std::int64_t>(version, 1, 1000000));
  const Bounds share{0.1, 1.5, "0.1 to 1.5"};
  read_number(root, "share_a", share, policy.share_a);
  read_number(root, "share_b", share, policy.share_b);
  read_number(root, "share_c", share, policy.share_c);
  if (policy.share_a <= policy.share_b || policy.share_b <= policy.share_c) {
    root.error("share_a", "the shares must fall from A over B to C", "for example 1.0, 0.8 and 0.6");
  }
  read_number(root, "guard_factor", {0.0, 3.0, "0 to 3"}, policy.guard_factor);
  read_number(root, "soc_min_to_test", {0.0, 1.0, "0 to 1"}, policy.soc_min_to_test);
  policy.high_rate_draw_required = root.boolean("high_rate_draw_required").value_or(false);
  policy.unattended_hard_charges = root.boolean("unattended_hard_charges").value_or(false);
  policy.early_reached = root.boolean("early_reached").value_or(false);
  policy.early_missed = root.boolean("early_missed").value_or(false);
  read_dispositions(root, policy);
  document.finish();
  if (!document.errors().empty()) return tl::unexpected(document.errors());
  return policy;
}

tl::expected<Policy, std::vector<Error>> load_policy(const std::string& path) {
  const Result<std::string> text = read_text_file(path);
  if (!text) return tl::unexpected(std::vector<Error>{text.error()});
  return read_policy(*text, path);
}

}  // namespace leadwright
