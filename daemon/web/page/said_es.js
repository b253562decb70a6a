// SPDX-License-Identifier: Apache-2.0
// Spanish: the phrases of the bench's sentences, "said.code". They follow each other as they stand.
export const words = {
  "said.above_least": "{volts} por encima de la tensión mínima",
  "said.against": " frente a ",
  "said.amount_ah": "{amount} de capacidad de 20 horas (± {u}, k = 2",
  "said.amount_min": "{amount} de capacidad de reserva (± {u}, k = 2",
  "said.at_cranking_load": "; con carga de arranque, ",
  "said.at_least_ah": "al menos {amount} de capacidad de 20 horas, hasta que se detuvo,",
  "said.at_least_min": "al menos {amount} de capacidad de reserva, hasta que se detuvo,",
  "said.below_least": "{volts} por debajo de la tensión mínima",
  "said.bracket": ")",
  "said.bracket_end": ").",
  "said.bracket_open": " (",
  "said.but_falls": "; pero en reposo cae {falls} al día: se descarga sola.",
  "said.but_falls_to": "; pero cae a ",
  "said.but_falls_too_near":
      "; pero en reposo cae {falls} al día, demasiado cerca de {limit} al día para decidir.",
  "said.but_not_watched": "; pero nadie ha visto si conserva la carga.",
  "said.c_at_most": ", así que como mucho C",
  "said.clamps_anew": ", con las dos pinzas puestas de nuevo",
  "said.conforms": ": se cumple",
  "said.counted_from_made": "Sin fecha de venta, así que se cuenta desde su código de fecha, {made}",
  "said.credit": "abono del {share} del precio: quedan {left} de {total} meses.",
  "said.credit_free": "dentro del período gratuito de {free} meses: se cambia sin coste.",
  "said.credit_none": "pasados los {total} meses de garantía: sin abono.",
  "said.does_not_conform": ": no se cumple",
  "said.earns_later": "lo que corresponda se sabrá con la calificación.",
  "said.falls_to": "Cae a ",
  "said.faulty": "Defectuosa: ",
  "said.flag_age_unknown": "No se conoce su edad: no se leyó ningún código de fecha.",
  "said.flag_en_step":
      "EN no tiene ningún valor de {rated} (sí {below} y {above}): es otra norma, o se leyó mal.",
  "said.flag_exponent":
      "La capacidad de 20 horas y la de reserva de la etiqueta dan un exponente de {exponent}, que " +
      "ninguna batería de plomo tiene: lea la etiqueta otra vez.",
  "said.flag_put_back_little":
      "Su carga solo devolvió {times} de lo que tomó la descarga anterior: no está llena, o una pinza " +
      "terminó la carga antes de tiempo.",
  "said.flag_put_back_much":
      "Su carga devolvió {times} veces lo que tomó la descarga anterior, más de lo usual: produce gas, o " +
      "pierde su carga.",
  "said.flag_frost":
      "Con el {charge} de su carga, su ácido empieza a helarse a unos {freezes}: cárguela antes de " +
      "dejarla al frío.",
  "said.flag_gain":
      "Su ciclo de acondicionamiento cambió su capacidad de reserva de {before} a {after}",
  "said.flag_gain_none": ", no más de lo que difieren dos ensayos de una misma batería.",
  "said.flag_monitor_charge":
      "El monitor del vehículo indicó {reported} de carga y el banco encontró {found}: conoce otra " +
      "batería, o algo la ha consumido desde entonces.",
  "said.flag_monitor_degrees":
      "El monitor del vehículo indicó {reported} y el banco encontró {found}: mire el sensor del propio " +
      "monitor.",
  "said.flag_monitor_did_not_take":
      "El monitor del vehículo cuenta {counts}, pero se le avisó de un cambio hace solo {since}: no lo " +
      "aceptó y carga esta batería como la anterior.",
  "said.flag_monitor_not_told":
      "El monitor del vehículo cuenta {counts}, pero esta batería se fabricó hace {since}: no se le " +
      "avisó del cambio.",
  "said.flag_monitor_reset":
      "Al monitor del vehículo se le avisó de un cambio por última vez el {told}, antes de que se " +
      "fabricara esta batería ({made}): todavía conoce la anterior.",
  "said.flag_old":
      "Fabricada hace {months} meses; esta política no llama nueva a ninguna de más de {oldest}.",
  "said.flag_receipt": "El recibo {receipt} ya se presentó antes, con otra batería.",
  "said.flag_resistance": "Una resistencia de {resistance} no corresponde a una etiqueta de {rated}: ",
  "said.flag_resistance_high":
      "más del doble de lo habitual. Mire primero pinzas y bornes, y después la etiqueta.",
  "said.flag_resistance_low": "menos de la mitad de lo habitual. ¿Es esta la batería de esta etiqueta?",
  "said.flag_shelf":
      "Llegó con el {charge} de su carga; {months} meses en un estante dejarían por sí solos cerca del " +
      "{expected}: pregunte dónde estuvo y qué la consumió, y obsérvela en reposo.",
  "said.flag_sold_before_made":
      "Vendida: {sold}, antes de fabricarse ({made}): lea otra vez el código de fecha y el recibo.",
  "said.flag_sold_in_future": "La fecha de venta, {sold}, está en el futuro.",
  "said.full_stop": ".",
  "said.gives": "Da ",
  "said.gives_only": "Da solo ",
  "said.has_a_fault": "tiene un defecto",
  "said.has_fails_under_load": "se hunde por debajo de su carga de arranque",
  "said.has_not_lead": "no se comporta como una batería de plomo",
  "said.has_open_circuit": "una conexión está rota",
  "said.has_reversed": "sus polos están invertidos",
  "said.has_shorted_cell": "una celda está en cortocircuito",
  "said.has_takes_no_charge": "no acepta carga",
  "said.has_unsafe": "no es segura",
  "said.has_wrong_cell_count": "su tensión no corresponde al número de celdas",
  "said.holds": "Mantiene ",
  "said.is_cracked": "su caja está agrietada",
  "said.is_frozen": "está helada",
  "said.is_leaking": "pierde ácido",
  "said.is_swollen": "su caja está hinchada",
  "said.keeps_charge": "; conserva la carga en el estante.",
  "said.lies": "Queda a ",
  "said.lies_too_near": ", demasiado cerca para decidir; ",
  "said.limit_by_forecast": "por pronóstico, no por medida: límite de C",
  "said.limit_of": "límite de {letter}",
  "said.load_rule":
      "ensayo de carga a la mitad de la corriente de arranque, por encima de la tensión mínima",
  "said.load_rule_by_ah": "prueba de carga con 3 A por cada Ah, por encima de la tensión mínima",
  "said.load_rule_usual":
      "la misma prueba de carga calculada para la mitad de la corriente de arranque usual para sus Ah, por " +
      "encima de la tensión mínima",
  "said.mean_of": ", media de {count} ensayos",
  "said.meets_rating": ": cumple su valor nominal",
  "said.minutes_not_measured": "no se midieron sus minutos",
  "said.next_at_room_temperature": "El mismo ensayo a temperatura ambiente lo decide.",
  "said.next_cca":
      "Lo deciden su corriente de arranque, según la lista del fabricante u otra etiqueta de su tipo, y un " +
      "ensayo de carga a la mitad de ella.",
  "said.next_conditioning": "Un ciclo de acondicionamiento y después el mismo ensayo lo deciden.",
  "said.next_draw_decides":
      "Sus minutos bastan para más; lo decide una descarga a corriente de arranque.",
  "said.next_full_charge": "Una carga completa y después el mismo ensayo lo deciden.",
  "said.next_load_again":
      "Un segundo ensayo de carga, tras una carga completa y un reposo, cuesta unos minutos.",
  "said.next_looks_apart": "Miradas más separadas, con el mismo medidor, dan más seguridad.",
  "said.next_minutes": "Mide lo que promete la etiqueta.",
  "said.next_never_empties":
      "Esta política no vacía ninguna batería; el ensayo de carga dura unos minutos.",
  "said.next_not_agreed":
      "El dueño no ha consentido una descarga completa; el ensayo de carga no necesita consentimiento.",
  "said.next_once_more":
      "Un ensayo más, tras una carga completa, lleva la incertidumbre típica de {from} a {to}.",
  "said.next_one_cycle": "Un ciclo y después el mismo ensayo lo deciden.",
  "said.next_own_current":
      "La mayor parte de la duda está en el valor derivado, que un ensayo a la corriente del propio " +
      "valor nominal no necesita.",
  "said.next_second_life": "La letra queda; sus minutos dirían si sirve para otra cosa.",
  "said.next_thermometer": "El mismo ensayo con un termómetro lo decide.",
  "said.next_two_looks":
      "Llegó descargada y no tiene nada más: dos miradas en el estante dicen por qué.",
  "said.next_whole_discharge": "La descarga entera lo decide.",
  "said.next_with_consent":
      "Mide lo que promete la etiqueta; el dueño debe consentir una descarga completa.",
  "said.no_credit": "sin abono: no se ha mostrado que esté gastada ni defectuosa.",
  "said.no_lead_holds": ": ninguna batería de plomo de {cells} celdas mantiene eso",
  "said.no_minutes": "Sin calificar: no se midió su capacidad de reserva.",
  "said.no_rated_minutes": "su etiqueta no indica minutos",
  "said.no_rating":
      ", pero su etiqueta no indica ni capacidad de reserva ni de 20 horas con que comparar.",
  "said.no_temperature": "Sin calificar: no se midió la temperatura del ensayo de capacidad de reserva.",
  "said.not_cranked": "; sin ensayo con carga de arranque",
  "said.not_tested_because": "Sin ensayar, porque ",
  "said.perhaps_not_lead":
      "Sin ensayar: su etiqueta no dice que sea de plomo, y aquí no se conecta ninguna otra.",
  "said.probability": "; probabilidad de conformidad {p}",
  "said.probability_above": "; probabilidad de conformidad superior a 0,9999",
  "said.probability_below": "; probabilidad de conformidad inferior a 0,0001",
  "said.rated": "los {rated} nominales",
  "said.rated_by_size": "los {rated} que esta política pide a su tamaño",
  "said.rated_derived": "unos {derived} derivados de los {rated} nominales",
  "said.rest_rule": "cambio en reposo a 20 °C, en un día",
  "said.rule_deep_discharged":
      "tensión en reposo más baja {came}, descarga profunda por debajo de {limit}, y ningún ciclo de " +
      "acondicionamiento antes del ensayo",
  "said.rule_discharged": "estado de carga antes del ensayo {charge}, mínimo para ensayar {least}",
  "said.rule_fault": "defecto «{fault}»: ",
  "said.rule_inspection": "inspección: ",
  "said.rule_load_alone":
      "un ensayo de carga superado muestra que arranca y no dice nada de sus minutos: esta política pide " +
      "ambos",
  "said.rule_load_undecided": "el ensayo de carga queda más cerca de su límite que su banda de guarda",
  "said.rule_no_cca":
      "una carga menor que la mitad de lo que puede ser su corriente de arranque ha mostrado demasiado poco",
  "said.rule_no_draw":
      "no se hizo ninguna descarga a corriente alta: sin ella esta política no da A ni B",
  "said.rule_not_full":
      "una carga terminada antes del ensayo de capacidad, sin descarga entre medias: no mostrada",
  "said.rule_not_watched":
      "conserva la carga: sin observar, aunque una probabilidad del {chance} de que no lo haga, por " +
      "{wrong} de un juicio erróneo, es más que {costs} de dos miradas",
  "said.rule_numbers": ": {limit}; valor {value}, u {u}, banda de guarda {guard_band}",
  "said.rule_too_cold": "temperatura del ensayo {at}, como mínimo {limit}",
  "said.rule_too_warm": "temperatura del ensayo {at}, como máximo {limit}",
  "said.rule_too_young": "edad {days} días, mínimo para rechazarla {least} días",
  "said.rule_unsafe": ", así que no es seguro conectarla",
  "said.second_life_rule": "segunda vida desde el {share} del valor nominal",
  "said.seen_at_rest": "{volts} en reposo",
  "said.seen_broken":
      ", pero {volts} con una descarga leve: una conexión interior está rota, salvo que la pinza no haga " +
      "contacto",
  "said.seen_cell_missing":
      ", y {volts} con {amps}: falta la tensión de una celda, más o menos, y el resto aguanta",
  "said.seen_drawn": ", {volts} con una descarga leve",
  "said.seen_no_voltage": ": no hay tensión en los bornes",
  "said.seen_ocv": "{volts} en circuito abierto",
  "said.seen_reversed": ": los polos están invertidos",
  "said.seen_six_cells": " es demasiado para tres celdas: cuente los celdas",
  "said.seen_three_cells": " es lo que muestran tres celdas, no seis: cuente los celdas",
  "said.service_in_future": "Meses de uso sin contar: la fecha está en el futuro.",
  "said.service_month": ": {months} mes de uso, ",
  "said.service_months": ": {months} meses de uso, ",
  "said.service_sold_before_made":
      "Meses de uso sin contar: la fecha de venta es anterior al código de fecha.",
  "said.service_unknown": "Meses de uso desconocidos: no se dio ni fecha de venta ni código de fecha.",
  "said.serviceable": ": utilizable",
  "said.set_by_persons":
      "Cambiada a {letter} por dos personas: {why} (La letra del propio banco es {own}: ",
  "said.sign_falls": "En reposo cae {falls} al día, más que los {most} de una sana: se descarga sola.",
  "said.sign_resistive":
      "Está llena y su resistencia es {times} veces la más alta habitual para su corriente de arranque: " +
      "pinzas y bornes aparte, sus rejillas o puentes están corroídos, o falta ácido.",
  "said.sign_sulphated":
      "Tras una carga terminada queda solo al {charge} y su resistencia es {times} veces la más alta " +
      "habitual para su corriente de arranque: sus placas están sulfatadas.",
  "said.sign_three_minutes":
      "En la carga de tres minutos su tensión subió {volts} por encima de lo que muestra una sana: sus " +
      "placas están sulfatadas.",
  "said.sold": "Vendida: {sold}",
  "said.sound": ": sana",
  "said.sound_cranking": ": sana con carga de arranque; ",
  "said.stands_low": " y aún queda solo a {volts}: una celda está en cortocircuito o invertida",
  "said.stopped_by_forecast":
      "Se detuvo a los {after} porque por pronóstico, no por medida, da unos {about} de capacidad de " +
      "reserva frente a ",
  "said.stopped_early": ": se detuvo demasiado pronto para decidir",
  "said.too_near": ", demasiado cerca para decidir",
  "said.too_near_to_c":
      ", demasiado cerca del límite de lo utilizable para decidir con esta incertidumbre",
  "said.took": "tomó {taken} en {lasted}",
  "said.took_at_limit": "tomó {taken} en {lasted} en el límite de carga",
  "said.undecided": ": sin decidir",
  "said.under_ah_load": " a los 15 s bajo 3 A por cada Ah",
  "said.under_half_cca": " a los 15 s bajo la mitad de su corriente de arranque",
  "said.usual_may_fail":
      ", pero quizá demasiado poco a la mitad de la corriente de arranque usual para sus Ah, que su " +
      "etiqueta no indica",
  "said.was_deep_discharged":
      "Aún no rechazada: llegó a {came}, tan descargada que antes de un juicio va un ciclo de " +
      "acondicionamiento.",
  "said.was_discharged":
      "Sin calificar: estaba solo al {charge} de carga cuando se ensayó; cárguela, déjela reposar y " +
      "ensáyela otra vez.",
  "said.was_perhaps_not_full":
      "Sin calificar: nada muestra que estuviera llena cuando se ensayó su capacidad; cárguela, déjela " +
      "reposar y ensáyela otra vez.",
  "said.was_too_cold":
      "Sin calificar: estaba a {at} durante el ensayo, más fría que los {limit} desde los que una " +
      "corrección se puede defender; llévela a temperatura ambiente y ensáyela otra vez.",
  "said.was_too_warm":
      "Sin calificar: estaba a {at} durante el ensayo, más caliente que los {limit} hasta los que una " +
      "corrección se puede defender; llévela a temperatura ambiente y ensáyela otra vez.",
  "said.was_too_young":
      "No rechazada: se fabricó hace {days} días, y sus placas no acaban de formarse hasta después de " +
      "{least} días y algunos ciclos.",
  "said.when_cranking": " con carga de arranque",
  "said.words": "{words}",
  "said.worn": ": gastada",
  "said.worn_at_last": ": gastada",
  "said.worn_by_load": ": gastada; ",
  "unit.day": "día",
  "unit.days": "días",
  "unit.mohm": "mΩ",
};
