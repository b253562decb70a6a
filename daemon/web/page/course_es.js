// SPDX-License-Identifier: Apache-2.0
// Spanish: the phrases of what goes on: trips, questions of a place, ends of runs, states, what comes next.
export const words = {
  "said.above_limit": "{value} supera el límite de {limit}",
  "said.ah_at_volts": "{ah} a {volts}",
  "said.airflow_not_declared":
      "no se ha declarado el caudal de aire de este banco: esta carga necesita {airflow} de aire fresco",
  "said.and_then": "; ",
  "said.another_was_clamped": "en {place} se sujetó otra batería: busque esta",
  "said.attempts_exhausted": "{count} intentos de {procedure} no terminaron; el último: ",
  "said.attended_only":
      "solo con alguien delante: quédese mientras haya corriente y dígalo cada media hora cuando lo " +
      "pregunte",
  "said.battery_moved": "su batería se movió",
  "said.below_limit": "{value} no llega al límite de {limit}",
  "said.bench_time_runs":
      "el tiempo del banco corre {scale} veces más rápido: una lectura vale por {time} de él",
  "said.cells_against_volts": "la etiqueta dice {cells} vasos, pero la batería muestra {volts}",
  "said.cells_not_known": "no se conoce el número de vasos",
  "said.charge_current_ended":
      "la corriente de carga terminó de golpe: mire las pinzas y después el cargador",
  "said.charge_current_lost":
      "la corriente de carga cayó de {from} a {to} de golpe, lo que ninguna batería hace: mire " +
      "primero las pinzas y después el cargador",
  "said.charge_ends_early": "; con una mala pinza la carga termina antes de tiempo",
  "said.charge_first": "cárguela primero: empieza con un tanteo de 1 A",
  "said.charge_volts_fall":
      "la tensión cayó de {from} a {to} en {time} mientras entraban {amps}: un vaso se cortocircuita " +
      "o la batería está caliente",
  "said.charged_in_vain": "una carga terminó y en reposo queda muy lejos de llena",
  "said.charger_reads_low":
      "{volts} al cargar una batería que en reposo tenía {rested}: mire el rango y los hilos de " +
      "medida del cargador",
  "said.check_post_marks":
      "compruebe las pinzas por las marcas de los bornes; si están bien, la batería se cargó al " +
      "revés: no la cargue",
  "said.check_sense_and_range": "mire los hilos de medida y el rango",
  "said.clamp_by_marks":
      "sujete la batería; si lo está, mire las marcas de los bornes y confirme solo si la pinza roja " +
      "está en el marcado +",
  "said.clamp_steps":
      "la tensión saltó de {from} a {to} con {amps} constantes, {resistance} en una pinza: limpie " +
      "las pinzas y póngalas de nuevo; después sospeche de una unión interior",
  "said.clamps_then_joint": ": mire primero las pinzas; después sospeche de una unión interior abierta",
  "said.close_the_shield":
      "cierre la pantalla sobre la batería y las pinzas, apártese y confirme entonces: la pantalla " +
      "está cerrada",
  "said.collapsed": "la tensión se hundió de {from} a {to} con {amps}",
  "said.colon": ": ",
  "said.comma_share": ", el {share} de ",
  "said.confirm_presence":
      ": confirme en {minutes} minutos que hay alguien, o se apaga lo que recibe corriente en {place}",
  "said.contacts_doubted": "los contactos con la batería no son de fiar: ",
  "said.contacts_stay": "los contactos con la batería no se abrieron: ",
  "said.count_and_correct": "cuente los vasos y corrija los datos de la etiqueta",
  "said.count_and_enter": "cuente los vasos (tapones o etiqueta) y escriba el número",
  "said.current_flows": "pasa corriente sin que nada trabaje: ",
  "said.current_strays": "la corriente es de {amps} donde se fijaron {set}",
  "said.cut_off_at_once":
      "la carga electrónica cortó de golpe desde {volts}: mire las pinzas, una batería no cae tan " +
      "deprisa",
  "said.cut_off_before": "la carga electrónica cortó a {volts} antes de tomar {amps}",
  "said.cut_off_ramping": "la carga electrónica cortó con {amps}, al subir la corriente",
  "said.cut_off_unset": "la carga electrónica cortó sin tener corte fijado: mírela",
  "said.cut_off_when_flat":
      "la carga electrónica cortó con {amps}: en reposo tenía {rested}, apenas más que el corte de " +
      "{cut_off}; mire las pinzas y después cárguela",
  "said.did_so_before": ", y ya lo hizo antes de que se pusieran de nuevo las pinzas",
  "said.does_not_go_on": "el programa se detuvo durante este trabajo, que no continúa: ",
  "said.doubtful_as_a_clamp":
      "está demasiado cerca del mínimo con carga para decidir, como con una mala pinza",
  "said.dropped_off": "entregada",
  "said.ended_at_once": "{procedure} terminó de golpe: ",
  "said.every_step_ended": "terminaron todos los pasos",
  "said.fails_as_a_clamp": "falla con carga, y una mala pinza se ve igual",
  "said.fault_proven": "hay un fallo probado: ",
  "said.find_and_acknowledge": ": busque la causa y después confirme",
  "said.find_out_chemistry":
      "averigüe la química por la etiqueta; aquí solo se prueban baterías de plomo, y nadie puede " +
      "cambiarlo",
  "said.flat_or_broken":
      "su tensión se hundió, como en una batería vacía y también con una unión rota",
  "said.gap_too_long": ", y pasó más de los {limit} tras los que puede continuar: hace {gap}",
  "said.gap_unknown": ", y la máquina se reinició o se cambió su fecha: nadie sabe cuánto hace",
  "said.gas_has_not_gone":
      "no quite las pinzas hasta {until}, dentro de {minutes} min: el gas de la carga no se ha ido",
  "said.goes_on_after": "{procedure} en {place} tras una interrupción de {gap}",
  "said.had_found_fault": ", y había encontrado un fallo",
  "said.half_its_cca": "la mitad de su corriente de arranque",
  "said.held_long_enough": "ha llegado el día hasta el que estaba retenida",
  "said.held_until": "retenida hasta {until}",
  "said.instrument_restarted": "{instrument} se reinició: sus límites son los del encendido",
  "said.interrupted_attended": "interrumpido {gap}, y ",
  "said.interrupted_before": "; ya se había interrumpido {count} veces",
  "said.interrupted_unknown":
      "interrumpido {gap}, y su tensión no la distingue de otra batería: compruebe que es la de esta " +
      "ficha y deje que siga",
  "said.is_it_the_same": "¿es la misma batería? compare su etiqueta con la ficha y responda sí o no",
  "said.is_reversed": "la batería está invertida: {volts} entre + y -",
  "said.isolate_it": "puede no ser de plomo: apártela y averigüe qué es",
  "said.journal_unfit": ", y su diario no encaja con ellas",
  "said.load_not_on":
      "la carga electrónica no siguió encendida con {amps}: mire primero las pinzas, una unión " +
      "abierta hace que corte de golpe; si no: ",
  "said.look_then_go_on": ": mire la batería y deje que siga",
  "said.looks_unsafe":
      "la revisión la encontró agrietada, con fugas, hinchada o helada: no la cargue ni la pruebe " +
      "nunca; guárdela en una bandeja resistente al ácido y siga las normas locales para baterías " +
      "dañadas",
  "said.may_not_be_lead":
      ": una batería de plomo pesa {least} o más, así que puede no ser de plomo; no se carga ni se " +
      "toma nada antes de que alguien averigüe qué es",
  "said.meters_disagree": "dos medidores no coinciden: {volts} y {other}",
  "said.never_energised": "la química «{chemistry}» nunca recibe corriente en este banco",
  "said.never_energised_here":
      "la química «{chemistry}» nunca recibe corriente en este banco; averigüe qué es o devuélvala",
  "said.no_good_reading": "ninguna lectura válida durante {time} con corriente",
  "said.no_voltage": "el instrumento no dio tensión (sobrecarga o sin número)",
  "said.nobody_answered": "nadie respondió: {question}",
  "said.not_safe_before": "no se pudieron poner los instrumentos a salvo antes del trabajo: ",
  "said.not_stated": "no se puede calcular {finding}: ",
  "said.nothing_energised": "nada recibe corriente: ",
  "said.off_not_verified": "no se pudo comprobar que está apagado: ",
  "said.other_instruments": "sus instrumentos son otros que antes",
  "said.paused_by": "en pausa por {person}: {why}",
  "said.place_out_of_service": "el puesto está fuera de servicio",
  "said.place_tripped": "el puesto saltó: ",
  "said.presence_lapsed": "nadie ha confirmado su presencia en {place} durante {minutes} minutos: ",
  "said.procedure_at": "{procedure} en {place}",
  "said.procedure_changed": ", y su procedimiento se cambió",
  "said.procedure_ended": "{procedure}, terminado: ",
  "said.procedure_gone": ", y su procedimiento ya no existe",
  "said.readings_frozen": "las lecturas están congeladas",
  "said.reads_otherwise":
      "la batería muestra {volts} donde la de esta ficha mostró {shown} la última vez",
  "said.reseat_clamps":
      ". Limpie los dos bornes, ponga de nuevo las dos pinzas, confirme y empiece otra vez: ",
  "said.reseat_sense": "limpie las pinzas y póngalas de nuevo: un hilo de medida no hace buen contacto",
  "said.resumed_often": "continuado tras {count} interrupciones de {time}",
  "said.resumed_once": "continuado tras una interrupción de {time}",
  "said.run_is_void": "{run}, {procedure}, no vale: ",
  "said.run_too_long": "el trabajo dura más que su límite de {limit}",
  "said.runs_away":
      "la corriente de carga subió de {from} a {to} en {time} mientras la caja se calentaba de " +
      "{cool} a {warm}: la batería se embala",
  "said.scanned_at": "escaneada en {place}",
  "said.senses_disagree":
      "dos medidores no coinciden con {amps}: {volts} y {other}; limpie las pinzas y póngalas de " +
      "nuevo, una no hace buen contacto",
  "said.should_hold": ", donde debería mantener {least}",
  "said.shows_no_polarity":
      "solo {volts} en las pinzas: no hay nada sujeto, o está demasiado descargada para mostrar su " +
      "polaridad",
  "said.something_came_after": "el programa se detuvo durante este trabajo, y después vino otra cosa",
  "said.stands_still": "está parado, todo apagado: ",
  "said.step_took_too_long": "{step} no terminó en su tiempo límite",
  "said.stop_all_by": "todo detenido por {person}",
  "said.stop_all_by_signal": "todo detenido por una señal",
  "said.stopped_before_run": "el programa se detuvo antes de que empezara el trabajo",
  "said.stopped_by": "detenido por {person}: {why}",
  "said.stopped_by_keyboard": "detenido desde el teclado",
  "said.stopped_during": "el programa se detuvo durante este trabajo; sus muestras quedan como prueba",
  "said.store_failed": "falló el almacén: ",
  "said.suggest_cheapest":
      "De las que esperan un puesto de este tipo, su letra es la que se espera que cueste menos: {bay} " +
      "de una bahía de ensayo, {charging} de un puesto de carga y {hands} de manos.",
  "said.suggest_longest": "De las que esperan un puesto de este tipo, llegó la primera.",
  "said.suggest_only": "Nada más espera un puesto de este tipo.",
  "said.suggest_promised":
      "Está prometida para {until} y necesita aún unas {time}: detrás de otra llegaría tarde.",
  "said.taken_up_again": "retomada",
  "said.the_size": "el tamaño {size}",
  "said.then_a_joint": "si se hunde también entonces, hay una unión interior abierta",
  "said.then_it_counts": "lo que muestre entonces es de la batería",
  "said.then_it_fails": "si se hunde también entonces, falla con carga",
  "said.then_not_taken": "lo que entonces no acepte es suyo",
  "said.then_the_batterys": "si vuelve a verse, es de la batería",
  "said.thermometer_silent": "el termómetro no da lectura",
  "said.thermometer_still":
      "el termómetro muestra {case} desde hace {time}, aunque la corriente debería haberlo cambiado " +
      "unos {change}: no sigue a la batería",
  "said.to_be_drawn": "se van a tomar {amps}",
  "said.told_to_end": "se ordenó terminar al programa",
  "said.too_flat_to_draw": "con {volts} la batería está demasiado descargada para tomar corriente",
  "said.too_light": "{weight} es poco peso para ",
  "said.too_much_for_cells": "{volts} es demasiado para {cells} vasos de plomo en reposo",
  "said.too_warm_to_charge": "la caja está a {case}, {rise} por encima de {room}: ahí termina una carga",
  "said.trace_not_kept": "no se puede guardar el registro: ",
  "said.trip_samples": " ({run}, de {from} a {to} de su registro)",
  "said.twins":
      "{instrument} y {twin} son del mismo tipo y no dicen número de serie: nadie ve si cambian de " +
      "puesto. ",
  "said.twins_exchanged": "nadie vería si entretanto se cambiaron sus instrumentos por otros iguales",
  "said.twins_label":
      ", nombre cada enlace por su enchufe (by-path) y marque unidad, cable y enchufe",
  "said.twins_same_unit": "Los dos son la unidad {unit}: dé a cada uno un número propio",
  "said.twins_serial": "Fije el número de serie en el perfil si lo tienen",
  "said.volts_unknown": ", y no se sabe nada de la tensión de su batería",
  "said.warms_too_fast": "la caja se calentó {rise} hasta {case} en {time}: el límite son {limit}",
  "said.was_interrupted":
      "{procedure} en {place} se interrumpió y continúa en cuanto allí todo esté apagado y listo",
  "said.weigh_charge": "Primero una carga, después la prueba que cueste menos",
  "said.weigh_costs":
      "; hasta la letra se esperan {bay} de una bahía de ensayo, {charging} de un puesto de carga y " +
      "{hands} de manos, que valen {price}. ",
  "said.weigh_load":
      "Primero la prueba con carga: por sí sola decide el {chance} de las baterías de las que se sabe " +
      "lo mismo",
  "said.weigh_load_now":
      "Prueba con carga tal como llegó: por sí sola decide el {chance} de las baterías de las que se " +
      "sabe lo mismo",
  "said.weigh_minutes":
      "Primero los minutos: por sí solos deciden el {chance} de las baterías de las que se sabe lo mismo",
  "said.weigh_other": ": {bay}, {charging} y {hands}, que valen {price}.",
  "said.weigh_rest_away": "Reposa en un puesto de carga, que deja libre la bahía",
  "said.weigh_rest_costs":
      ": {bay} de una bahía de ensayo, {charging} de un puesto de carga y {hands} de manos",
  "said.weigh_rest_here": "Reposa donde está, porque sus pruebas siguen aquí",
  "said.weigh_rest_other": "; en otro sitio {bay}, {charging} y {hands}.",
  "said.went_in_unmeasured": ", en las que entraron como mucho {amount} sin medir",
  "said.why_asked_for": "Se pidió cuando llegó la batería.",
  "said.why_capacity": "Los minutos frente a lo asignado deciden la calificación.",
  "said.why_charge":
      "Los datos de la etiqueta son de una batería llena, así que la prueba empieza con ella llena.",
  "said.why_charge_again":
      "No pasó con carga, por poco, y no estaba llena: cargada, puede que aguante.",
  "said.why_charge_to_load": "Una prueba con carga pide un {share} % de carga.",
  "said.why_intake": "Antes de meter o sacar nada: ¿es segura, está entera y es lo que dice su etiqueta?",
  "said.why_load": "Si falla con la corriente de arranque, se decide sin vaciar la batería.",
  "said.why_load_again":
      "No pasó con carga: una vez más con las dos pinzas puestas de nuevo, antes de que cuente en su " +
      "contra.",
  "said.why_recharge": "Una prueba la consumió: sale cargada.",
  "said.why_recovery": "Llegó muy descargada: un comienzo suave, con alguien delante.",
  "said.why_resistance": "Cuesta un minuto y muestra una mala unión antes de tomar más.",
  "said.why_rest": "Una tensión solo dice algo cuando es estable.",
  "said.why_standing": "Llegó descargada y por lo demás está sana: ¿conserva la carga en el estante?",
  "said.why_until_decided":
      "Deciden los minutos; se detiene en cuanto pasa el límite o ya no puede alcanzarlo.",
};
