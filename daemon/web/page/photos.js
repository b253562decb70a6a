// SPDX-License-Identifier: Apache-2.0
// Photos of a ticket: they are made small here, so that what goes out is the picture alone.
import {moment} from "/amounts.js";
import {change, say, ticket_path, with_name} from "/api.js";
import {open_dialog} from "/dialog.js";
import {element, field, said, section} from "/dom.js";
import {t} from "/words.js";

const bytes_max = 262144;
// Of the longer edge, in points, and how well the picture is kept: the first that is small enough.
const attempts = [[1600, 0.8], [1600, 0.6], [1200, 0.6], [800, 0.6], [640, 0.4]];
const photo_path = (photo, verb = "") => `/api/v1/photos/${encodeURIComponent(photo)}${verb}`;

function drawn(picture, edge) {
  const scale = Math.min(1, edge / Math.max(picture.width, picture.height));
  const canvas = element("canvas", {
    width: Math.max(1, Math.round(picture.width * scale)),
    height: Math.max(1, Math.round(picture.height * scale))
  });
  canvas.getContext("2d").drawImage(picture, 0, 0, canvas.width, canvas.height);
  return canvas;
}

const as_jpeg = (canvas, quality) =>
    new Promise((resolve) => canvas.toBlob(resolve, "image/jpeg", quality));

const as_base64 = (blob) => new Promise((resolve, reject) => {
  const reader = new FileReader();
  reader.onload = () => resolve(reader.result.slice(reader.result.indexOf(",") + 1));
  reader.onerror = () => reject(new Error(t("photo_unreadable")));
  reader.readAsDataURL(blob);
});

async function small_jpeg(file) {
  let picture;
  try {
    picture = await createImageBitmap(file);
  } catch {
    throw new Error(t("photo_unreadable"));
  }
  for (const [edge, quality] of attempts) {
    const blob = await as_jpeg(drawn(picture, edge), quality);
    if (blob && blob.size <= bytes_max) return as_base64(blob);
  }
  throw new Error(t("photo_unreadable"));
}

export const photo_input = (required) =>
    element("input", {name: "photo", type: "file", accept: "image/*", required});

// Keeps the photo that was chosen, if one was.
export async function hand_in(ticket, input, about) {
  const [file] = input.files;
  if (file) await change(ticket_path(ticket, "photos"), {about, jpeg: await small_jpeg(file)});
}

function open_adding(ticket, then) {
  const photo = photo_input(true);
  const about = element("input", {name: "about", maxlength: "100", autocomplete: "off"});
  open_dialog({
    title: t("photo_add_title", {ticket}),
    content: [
      element("p", {}, t("photo_means")), field(t("photo"), photo), field(t("photo_about"), about)
    ],
    buttons: [{label: t("photo_keep"), value: "keep", strong: true}],
    act: async () => {
      await hand_in(ticket, photo, about.value.trim());
      say(t("photo_kept", {ticket}));
      setTimeout(then);
    },
  });
}

function open_erasing(photo, then) {
  const why =
      element("input", {name: "why", required: true, minlength: "1", maxlength: "200", autocomplete: "off"});
  open_dialog({
    title: t("photo_erase_title", {photo}),
    content: [element("p", {}, t("photo_erase_means")), field(t("reason"), why)],
    buttons: [{label: t("photo_erase"), value: "erase", strong: true}],
    act: async () => {
      await change(photo_path(photo, "/erase"), {why: why.value.trim()});
      say(t("photo_erased", {photo}));
      setTimeout(then);
    },
  });
}

function photo_item({photo, about, at, bytes}, then) {
  const line = element("p", {class: "quiet"}, `${photo}, ${moment(at)} `, said(about));
  if (bytes === 0) return element("div", {class: "item"}, line, element("p", {}, t("photo_is_gone")));
  const href = photo_path(photo);
  const picture = element("img", {src: href, alt: about || photo, loading: "lazy", class: "photo"});
  const erase = element(
      "button", {type: "button", onclick: () => with_name(() => open_erasing(photo, then))},
      t("photo_erase_one", {photo}));
  return element(
      "div", {class: "item"}, element("a", {href, target: "_blank", rel: "noopener"}, picture), line, erase);
}

// The photos of a ticket's page. `then` shows the ticket anew.
export function photos_part(page, then) {
  const {ticket} = page.ticket;
  const add = element(
      "button", {type: "button", onclick: () => with_name(() => open_adding(ticket, then))}, t("photo_add"));
  return section(
      t("photos"), ...(page.photos ?? []).map((one) => photo_item(one, then)),
      element("p", {class: "actions"}, add));
}
