// SPDX-License-Identifier: Apache-2.0
#include "daemon/queue/cautions.h"

namespace leadwright {

const std::vector<std::string>& cautions() {
  static const std::vector<std::string> sentences{
      "Charging makes hydrogen, which explodes: ventilate, no flame, no spark, no smoking.",
      "The acid burns: wear eye and hand protection; flush eyes 15 min with water, then see a doctor.",
      "A short circuit gives a thousand amperes and more: rings off, tools away from the posts.",
      "Never charge a frozen, leaking, cracked, swollen or unidentified battery, nor a lithium one.",
      "Clamp on before energy, take clamps off only after off and after the gas has gone.",
      "In a vehicle disconnect the negative post first and connect it last.",
      "Lift with both hands or a carrier; hand scrap in as hazardous waste.",
      "Local codes, the battery maker's instructions and licensed practice come first.",
      "This software is not a rated safety function.",
  };
  return sentences;
}

}  // namespace leadwright
