// SPDX-License-Identifier: Apache-2.0
// Physical quantities: one class over double in SI units, a named type for each quantity that we use, and
// only the operators that are right by dimension. A leaf: `drivers` may include it.
// Minutes, ampere-hours and milliohms exist only at the edges: see the helpers at the end.
#pragma once

#include <compare>

namespace leadwright {

/// Exponents over volt, ampere, second and kelvin: a base that suits batteries.
template <int V, int A, int S, int K>
struct Dimension {};

template <class D>
class Quantity {
 public:
  constexpr Quantity() = default;
  constexpr explicit Quantity(double si) : si_(si) {}
  /// Number in the SI unit of the dimension.
  constexpr double si() const { return si_; }
  constexpr auto operator<=>(const Quantity&) const = default;
  constexpr Quantity operator-() const { return Quantity(-si_); }
  constexpr Quantity& operator+=(Quantity other) {
    si_ += other.si_;
    return *this;
  }
  constexpr Quantity& operator-=(Quantity other) {
    si_ -= other.si_;
    return *this;
  }

 private:
  double si_ = 0.0;
};

namespace detail {
template <int V, int A, int S, int K>
struct Of {
  using Type = Quantity<Dimension<V, A, S, K>>;
};
template <>
struct Of<0, 0, 0, 0> {
  using Type = double;
};
}  // namespace detail

template <class D>
constexpr Quantity<D> operator+(Quantity<D> a, Quantity<D> b) {
  return Quantity<D>(a.si() + b.si());
}
template <class D>
constexpr Quantity<D> operator-(Quantity<D> a, Quantity<D> b) {
  return Quantity<D>(a.si() - b.si());
}
template <class D>
constexpr Quantity<D> operator*(Quantity<D> a, double factor) {
  return Quantity<D>(a.si() * factor);
}
template <class D>
constexpr Quantity<D> operator*(double factor, Quantity<D> a) {
  return a * factor;
}
template <class D>
constexpr Quantity<D> operator/(Quantity<D> a, double divisor) {
  return Quantity<D>(a.si() / divisor);
}
template <int V, int A, int S, int K, int V2, int A2, int S2, int K2>
constexpr auto operator*(Quantity<Dimension<V, A, S, K>> a, Quantity<Dimension<V2, A2, S2, K2>> b) {
  return typename detail::Of<V + V2, A + A2, S + S2, K + K2>::Type(a.si() * b.si());
}
template <int V, int A, int S, int K, int V2, int A2, int S2, int K2>
constexpr auto operator/(Quantity<Dimension<V, A, S, K>> a, Quantity<Dimension<V2, A2, S2, K2>> b) {
  return typename detail::Of<V - V2, A - A2, S - S2, K - K2>::Type(a.si() / b.si());
}
template <class D>
constexpr Quantity<D> abs(Quantity<D> a) {
  return a.si() < 0.0 ? -a : a;
}

using Volt = Quantity<Dimension<1, 0, 0, 0>>;
using Ampere = Quantity<Dimension<0, 1, 0, 0>>;
using Second = Quantity<Dimension<0, 0, 1, 0>>;
using Kelvin = Quantity<Dimension<0, 0, 0, 1>>;  ///< a temperature difference
using Ohm = Quantity<Dimension<1, -1, 0, 0>>;
using Coulomb = Quantity<Dimension<0, 1, 1, 0>>;
using Watt = Quantity<Dimension<1, 1, 0, 0>>;
using Joule = Quantity<Dimension<1, 1, 1, 0>>;
using VoltPerSecond = Quantity<Dimension<1, 0, -1, 0>>;

/// A point on the Celsius scale. Differences are Kelvin; there is no sum of two points.
class Celsius {
 public:
  constexpr Celsius() = default;
  constexpr explicit Celsius(double degc) : degc_(degc) {}
  constexpr double degc() const { return degc_; }
  constexpr double fahrenheit() const { return degc_ * 1.8 + 32.0; }
  constexpr auto operator<=>(const Celsius&) const = default;
  friend constexpr Kelvin operator-(Celsius a, Celsius b) { return Kelvin(a.degc_ - b.degc_); }
  friend constexpr Celsius operator+(Celsius a, Kelvin b) { return Celsius(a.degc_ + b.si()); }

 private:
  double degc_ = 0.0;
};

constexpr Second minutes(double count) {
  return Second(count * 60.0);
}
constexpr Second hours(double count) {
  return Second(count * 3600.0);
}
constexpr Coulomb ampere_hours(double count) {
  return Coulomb(count * 3600.0);
}
constexpr double as_minutes(Second time) {
  return time.si() / 60.0;
}
constexpr double as_hours(Second time) {
  return time.si() / 3600.0;
}
constexpr double as_ampere_hours(Coulomb charge) {
  return charge.si() / 3600.0;
}

}  // namespace leadwright
