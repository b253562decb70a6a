// SPDX-License-Identifier: Apache-2.0
// Spanish: charts, the queue.
export const words = {
  age: "Aquí desde hace",
  chart_at: "A los {time}: {volts} V, {amps} A",
  chart_drag: "O arrastre sobre el gráfico; un doble clic muestra otra vez todo el ensayo.",
  chart_forecast:
      "Se espera su final tras {likely}, entre {from} y {to} en {share} de 100 ensayos; es un pronóstico, " +
      "no una medida.",
  days: "{d} d {h} h",
  every_open_state: "todas las abiertas",
  forecast_end: "final esperado",
  search_hint: "ficha, tamaño, fecha",
  sort_by: "Ordenar por",
  sort_by_one: "Ordenar por: {column}",
  sort_other_way: "{column}: ordenar al revés",
  zoom_earlier: "Antes",
  zoom_in: "Más cerca",
  zoom_later: "Después",
  zoom_of: "Parte del gráfico de {name}",
  zoom_out: "Más lejos",
  zoom_whole: "Todo el ensayo",
  zoomed: "De {from} a {to}",
};
