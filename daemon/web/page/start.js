// SPDX-License-Identifier: Apache-2.0
// Starting a run: the next procedure or another, its parameters, and what it would do, before energy flows.
import {change, place_path, read, say} from "/api.js";
import {open_dialog} from "/dialog.js";
import {element, field, options, said, set_error, set_hidden, text_of} from "/dom.js";
import {plan_part} from "/start_plan.js";
import {label_words, t, word_of} from "/words.js";

const kinds_of_role = {
  two_quadrant: ["load", "charger"]
};

// The procedures whose instruments stand at this place.
function possible_at(place, procedures) {
  const has = new Set((place.instruments ?? []).flatMap(({role}) => kinds_of_role[role] ?? [role]));
  return procedures.filter(({needs}) => needs.every((one) => has.has(one)));
}

// "10,5 A" as the bench reads it.
const with_point = (text) => text.replace(/(\d),(\d)/gu, "$1.$2");

function parameter_field(parameter) {
  const {name, what, min, max} = parameter;
  const node = field(
      name.replaceAll("_", " "),
      element("input", {name: `parameter_${name}`, maxlength: "24", placeholder: parameter.default}));
  const limits = t("parameter_limits", {initial: parameter.default, min, max});
  node.append(element("span", {class: "hint"}, said(what), ` · ${limits}`));
  return node;
}

// What differs from the defaults.
function chosen_parameters(form, procedure) {
  const chosen = {};
  for (const {name} of procedure?.parameters ?? []) {
    const text = with_point(text_of(form, `parameter_${name}`));
    if (text) chosen[name] = text;
  }
  return chosen;
}

class Start {
  constructor(place, cautions, next) {
    Object.assign(this, {place, cautions, next, procedure: null, plan: null, asked: 0});
    this.choice = element("select", {name: "procedure", required: true});
    this.what = element("p", {class: "quiet"});
    this.parameters = element("fieldset", {class: "parameters", hidden: true});
    this.outcome = element("div", {class: "plan", role: "status"});
    this.more = element("div", {class: "answer"});
    this.choice.addEventListener("change", () => this.choose(this.choice.value));
    this.parameters.addEventListener("change", () => this.show_plan());
  }

  get is_next() {
    return this.choice.value === this.next?.procedure;
  }

  // Where the list can't be read, the next one can still be started.
  async fill() {
    let procedures = [];
    try {
      const all = await read("/api/v1/procedures");
      if (!Array.isArray(all)) throw new Error(t("unreadable"));
      procedures = possible_at(this.place, all);
    } catch (error) {
      set_error(this.outcome, error);
    }
    this.procedures = new Map(procedures.map((one) => [one.procedure, one]));
    const next = this.next?.procedure;
    const others = [...this.procedures.keys()].filter((name) => name !== next);
    const first = next ? [next, t("is_next", {procedure: word_of("procedure", next)})] : ["", t("choose")];
    this.choice.append(...options([first, ...others.map((name) => [name, word_of("procedure", name)])]));
    await this.choose(this.choice.value);
  }

  async choose(name) {
    this.procedure = this.procedures.get(name) ?? null;
    this.what.replaceChildren(...[said(this.procedure?.what)].filter(Boolean));
    const fields = (this.procedure?.parameters ?? []).map(parameter_field);
    this.parameters.replaceChildren(element("legend", {}, t("parameters")), ...fields);
    set_hidden(this.parameters, fields.length === 0);
    await this.show_plan();
  }

  async show_plan() {
    this.plan = null;
    const turn = ++this.asked;
    if (this.procedure) {
      const parameters = chosen_parameters(this.parameters.form, this.procedure);
      const wish = {place: this.place.name, ticket: this.place.ticket, parameters};
      try {
        const plan =
            await change(`/api/v1/procedures/${encodeURIComponent(this.procedure.procedure)}/plan`, wish);
        if (turn !== this.asked) return;
        this.plan = plan;
        this.outcome.replaceChildren(...plan_part(plan));
      } catch (error) {
        if (turn !== this.asked) return;
        set_error(this.outcome, error);
      }
    }
    this.show_questions();
  }

  // What must be said before this one begins.
  show_questions() {
    const consent = this.is_next ? this.next.consent : this.plan?.consent;
    const parts = [];
    if (this.choice.value && !this.is_next && this.next) {
      const box = element("input", {type: "checkbox", name: "not_next", required: true});
      const instead = t("instead_of_next", {procedure: word_of("procedure", this.next.procedure)});
      parts.push(element("label", {class: "check"}, box, instead));
    }
    if (consent) {
      const name =
          element("input", {name: "consented_by", required: true, maxlength: "200", autocomplete: "off"});
      const needs = t("needs_consent", {procedure: word_of("procedure", this.choice.value)});
      parts.push(
          element("p", {}, needs, " ", said(`${consent}.`)),
          field(t("who_agreed"), name, t("who_agreed_hint")));
    }
    this.more.replaceChildren(...parts);
  }

  async begin(form) {
    const {name} = this.place;
    const body = {};
    const parameters = chosen_parameters(form, this.procedure);
    if (Object.keys(parameters).length) body.parameters = parameters;
    const consented_by = form.elements.consented_by?.value.trim();
    if (consented_by) body.consented_by = consented_by;
    if (!this.is_next || Object.keys(body).length) body.procedure = this.choice.value;
    await change(place_path(name, "acknowledge"), {of: "cautions"});
    await change(place_path(name, "start"), body);
    say(t("starts", {place: name}));
  }
}

export function open_start(place, cautions, next) {
  const start = new Start(place, cautions, next);
  const battery = [place.ticket ?? t("this_battery"), label_words(place.battery)].filter(Boolean).join(", ");
  open_dialog({
    title: t("before_energy", {place: place.name}),
    content: [
      element("p", {}, t("is_it_clamped", {battery})),
      field(t("procedure"), start.choice),
      start.what,
      start.parameters,
      start.outcome,
      start.more,
      element("ul", {class: "cautions"}, ...cautions),
    ],
    buttons: [{label: t("understood_start"), value: "start", strong: true, is_first: true}],
    act: (_, form) => start.begin(form),
  });
  start.fill();
}
