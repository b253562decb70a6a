// SPDX-License-Identifier: Apache-2.0
// Cómo se llaman las lecturas de un densímetro, y qué señalan. Las claves con punto son códigos del banco.
export const words = {
  acid_degrees: "Temperatura del ácido, {unit}",
  acid_of_cell: "Celda {cell}",
  acid_read: "Densidad relativa del ácido",
  hydrometer: "Densímetro (líquida, con tapones)",
  hydrometer_hint:
      "Densidad relativa de cada celda, contadas desde el borne positivo. Use protección de ojos y manos, " +
      "y abra solo lo que su fabricante permite abrir.",
  "measurand.acid_gravity_sg": "Densidad relativa del ácido a 80 °F",
  "measurand.acid_spread_sg": "Densidad relativa, celda más alta menos la más baja",
  "measurand.acid_cell_below_sg": "Densidad relativa, celda más baja bajo las demás",
  "measurand.soc_by_acid_1": "Estado de carga según el ácido",
  "measurand.ocv_above_acid_v": "Tensión en reposo sobre la que da su ácido",
  "measurand.time_to_full_min": "Tiempo hasta llena",
  "said.sign_weak_cell":
      "El ácido de la celda {cell}, contada desde el borne positivo, está {below} por debajo del de las " +
      "demás, más de {most}: esa celda es débil o está en cortocircuito.",
  "said.sign_weak_cell_full":
      "Tras una carga completa el ácido de sus celdas aún difiere en {spread}, más de {most}, y el de la " +
      "celda {cell} es el más bajo: esa celda es débil.",
  "said.sign_uneven":
      "El ácido de sus celdas difiere en {spread}, más de {most}: cárguela y vuelva a leerlas antes de " +
      "sacar conclusiones.",
  "said.sign_layers":
      "En reposo está {volts} por encima de lo que da su ácido leído arriba: su ácido está en capas, débil " +
      "arriba, y su tensión parece más llena de lo que está. Una carga que mezcle el ácido va antes de " +
      "juzgar su tensión.",
  "said.sign_lacks_volts":
      "El ácido de sus celdas es parejo y aun así en reposo está {volts} por debajo de lo que da: una " +
      "celda empieza a cortocircuitarse, o se añadió ácido donde faltaba agua.",
  "said.sign_layers_by_charge":
      "En reposo mostraba {charge} de su carga y aun así su carga aportó {taken}, cuando así faltan como " +
      "mucho {missing}: su ácido estaba en capas, o produce gas o pierde su carga.",
  "said.sign_dry": "Ha perdido agua:",
  "said.dry_plates": " sus placas sobresalen del ácido;",
  "said.dry_light": " pesa {weight}, cuando lo habitual para su tamaño son {usual};",
  "said.dry_lighter": " pesa {weight}, y pesaba {earlier} en una visita anterior;",
  "said.dry_strong": " su ácido tiene {gravity}, más que el de cualquier llenado;",
  "said.dry_rests_high": " en reposo está a {volts}, por encima de los {most} de una llena;",
  "said.dry_resists":
      " su resistencia es {times} veces la más alta habitual para su corriente de arranque;",
  "said.dry_gives": " da {share} de su valor nominal;",
  "said.dry_end": " así que el secado va antes que el desgaste o la corrosión como causa.",
  "said.life_made": "Se fabricó hace {months} meses",
  "said.life_sold": "Se vendió hace {months} meses, y su edad no se conoce",
  "said.life_before":
      ", antes de los {from} a {to} meses tras los que suelen acabar las baterías de arranque (práctica " +
      "común, sin fuente): la edad sola no explica ningún fallo.",
  "said.life_within":
      ", dentro de los {from} a {to} meses tras los que suelen acabar las baterías de arranque (práctica " +
      "común, sin fuente). Su letra se basa solo en lo medido.",
  "said.life_past":
      ", pasados los {from} a {to} meses tras los que suelen acabar las baterías de arranque (práctica " +
      "común, sin fuente). Su letra se basa solo en lo medido.",
};
