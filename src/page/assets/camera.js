// The browser's own camera: frames are grabbed here, sent to pairsight on this machine, and kept nowhere.

import { system } from './words.js';

/** At most ten frames a second. */
const INTERVAL = 100;
/** Frames larger than this say no more about stickers. */
const WIDEST = 1280;
const QUALITY = 0.88;

export class BrowserCamera {
  /**
   * @param send takes a JPEG Blob
   * @param gone called with the reason in words when the camera was refused or went away
   */
  constructor(send, gone) {
    this.send = send;
    this.gone = gone;
    this.stream = null;
    this.video = document.createElement('video');
    this.video.muted = true;
    this.video.playsInline = true;
    this.canvas = document.createElement('canvas');
    this.waits = false;
    this.wanted = null;
    navigator.mediaDevices?.addEventListener?.('devicechange', () => this.comeBack());
  }

  get possible() {
    return Boolean(navigator.mediaDevices?.getUserMedia);
  }

  get running() {
    return Boolean(this.stream);
  }

  /** Cameras that the browser names; names are empty until one has been allowed. */
  async list() {
    if (!this.possible) return [];
    const devices = await navigator.mediaDevices.enumerateDevices().catch(() => []);
    return devices.filter((d) => d.kind === 'videoinput');
  }

  /** Opens the camera, asking the learner if need be; true when frames flow. */
  async start(deviceId) {
    this.stop();
    if (!this.possible) {
      this.gone('This browser gives pages no camera. Use a current browser, or a camera of this machine.');
      return false;
    }
    this.wanted = { deviceId };
    const size = { width: { ideal: 1280 }, height: { ideal: 720 }, frameRate: { ideal: 15 } };
    const video = deviceId ? { ...size, deviceId: { exact: deviceId } } : { ...size, facingMode: 'user' };
    const asked = this.wanted;
    try {
      const stream = await navigator.mediaDevices.getUserMedia({ video, audio: false });
      if (this.wanted !== asked) {
        stream.getTracks().forEach((track) => track.stop());
        return false;
      }
      this.stream = stream;
      stream.getVideoTracks()[0].addEventListener('ended', () => this.lose());
      this.video.srcObject = stream;
      await this.video.play();
    } catch (error) {
      if (this.wanted === asked) {
        this.release();
        this.gone(refusal(error.name));
      }
      return false;
    }
    this.waits = false;
    this.grab(this.stream);
    return true;
  }

  /** Stops for good. */
  stop() {
    this.wanted = null;
    this.release();
  }

  /** The last frame was taken: the next may follow. */
  taken() {
    this.waits = false;
  }

  release() {
    this.stream?.getTracks().forEach((track) => track.stop());
    this.stream = null;
    this.video.srcObject = null;
  }

  lose() {
    this.release();
    this.gone('The camera went away. Plug it in again; it is taken up by itself.');
  }

  /** A device came or went: take up the camera that was lost. */
  comeBack() {
    if (this.wanted && !this.stream) this.start(this.wanted.deviceId);
  }

  grab(stream) {
    if (this.stream !== stream) return;
    const began = performance.now();
    const { videoWidth: width, videoHeight: height } = this.video;
    const next = () => setTimeout(() => this.grab(stream), Math.max(0, INTERVAL - (performance.now() - began)));
    if (this.waits || !width) {
      next();
      return;
    }
    const scale = Math.min(1, WIDEST / width);
    this.canvas.width = Math.round(width * scale);
    this.canvas.height = Math.round(height * scale);
    this.canvas.getContext('2d').drawImage(this.video, 0, 0, this.canvas.width, this.canvas.height);
    this.canvas.toBlob((jpeg) => {
      if (jpeg && this.stream === stream) this.waits = this.send(jpeg);
      next();
    }, 'image/jpeg', QUALITY);
  }
}

/** Why there is no camera, and what to do about it on this system. */
function refusal(name) {
  switch (name) {
    case 'NotAllowedError':
    case 'SecurityError':
      return `The browser was not allowed to use the camera. ${allow()} Then choose the camera again.`;
    case 'NotFoundError':
    case 'OverconstrainedError':
      return 'The browser finds no such camera. Plug it in, or open its shutter, and choose it again.';
    case 'NotReadableError':
    case 'AbortError':
      return 'The camera is there but does not start. Close other programs that use it, and choose it again.';
    default:
      return `The browser could not open the camera (${name}).`;
  }
}

function allow() {
  const here = 'Click the camera sign beside the address and allow it.';
  switch (system()) {
    case 'Windows':
      return `${here} If it is allowed there: Settings, Privacy & security, Camera: turn on camera access, also for desktop apps.`;
    case 'macOS':
      return `${here} If it is allowed there: System Settings, Privacy & Security, Camera: tick the browser, then start it again.`;
    case 'Linux':
      return `${here} If it is allowed there: a sandboxed browser needs leave for the camera in its package settings, and your user may need to be in the group “video”.`;
    case 'ChromeOS':
      return `${here} If it is allowed there: Settings, Privacy controls, Camera access: turn it on.`;
    case 'Android':
      return `${here} If it is allowed there: Settings, Apps, the browser, Permissions, Camera: allow it.`;
    default:
      return here;
  }
}
