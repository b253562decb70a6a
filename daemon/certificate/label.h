// SPDX-License-Identifier: Apache-2.0
// The label for the battery's case: ticket as Code 128, grade, reserve capacity. Any thread but control's and
// the web's.
//
// Stock: polyester or polypropylene with an acrylic adhesive, which acid and wash water leave alone (common
// practice, no source); paper does not last. It never goes over a vent, a vent plug, a date code or a
// warning: the label says so itself.
#pragma once

#include "daemon/certificate/document.h"

namespace leadwright {

/// Width of the stock in millimetres.
struct LabelWidth {
  int mm = 60;
};
/// Narrower than the least a scanner can't read the code; wider than the most is no label.
inline constexpr LabelWidth label_width_least{40};
inline constexpr LabelWidth label_width_most{150};

/// The bytes of a whole file. Fails with bad_input for a width outside of these two.
Result<std::string> label_document(const Certificate& certificate, Drawing drawing, LabelWidth width);

}  // namespace leadwright
