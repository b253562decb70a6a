// SPDX-License-Identifier: Apache-2.0
#include "daemon/settings/precautions_reader.h"

namespace leadwright {

namespace {
constexpr double airflow_highest = 1e5;
constexpr Second gas_off_max = hours(24.0);
}  // namespace

void read_precautions(const TomlTable& bench, Precautions& into) {
  if (const auto gas_off = bench.number("gas_off_s")) {
    into.gas_off = Second(*gas_off);
    if (!(*gas_off >= 0.0) || into.gas_off > gas_off_max) {
      bench.error("gas_off_s", "outside what makes sense", "0 to 86400; 3600 is common practice");
    }
  }
  if (const auto airflow = bench.number("airflow_m3_per_h")) {
    into.airflow = Airflow{*airflow};
    if (!(*airflow > 0.0) || *airflow > airflow_highest) {
      bench.error("airflow_m3_per_h", "outside what makes sense", "above 0, at most 100000");
    }
  }
}

}  // namespace leadwright
