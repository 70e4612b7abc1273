// A photo at a size that a weak signal can carry. What this browser cannot read is sent as it is, for the server to judge.
const LONGEST_SIDE_COUNT = 1600;
const QUALITY = 0.82;

export const shrunk = async (file) => {
  let image;
  try {
    image = await createImageBitmap(file);
  } catch {
    return { photo: await file.arrayBuffer(), name: file.name || "photo" };
  }
  const scale = Math.min(1, LONGEST_SIDE_COUNT / Math.max(image.width, image.height));
  const canvas = document.createElement("canvas");
  canvas.width = Math.max(1, Math.round(image.width * scale));
  canvas.height = Math.max(1, Math.round(image.height * scale));
  const pen = canvas.getContext("2d");
  pen.fillStyle = "white";
  pen.fillRect(0, 0, canvas.width, canvas.height);
  pen.drawImage(image, 0, 0, canvas.width, canvas.height);
  image.close();
  const blob = await new Promise((resolve) => { canvas.toBlob(resolve, "image/jpeg", QUALITY); });
  return { photo: await (blob ?? file).arrayBuffer(), name: file.name || "photo" };
};
