import { useEffect, useRef, useState } from 'react';
import { t } from '../../messages/translate.js';
import { BenchSheet } from './BenchSheet.js';
import { codeOnLabel } from './scanner-keys.js';

const LOOK_EVERY_MS = 200;

/** Reads the code on a label through the camera: by the browser's own reader where there is one, else by a small library. */
export function CameraSheet({
  onCode,
  onClose,
}: {
  readonly onCode: (code: string) => void;
  readonly onClose: () => void;
}) {
  const video = useRef<HTMLVideoElement>(null);
  const [fault, setFault] = useState<'no-camera' | null>(null);
  const latest = useRef(onCode);
  latest.current = onCode;
  useEffect(() => {
    const stop = new AbortController();
    watch(video.current, stop.signal, (code) => latest.current(codeOnLabel(code))).catch(() => {
      if (!stop.signal.aborted) setFault('no-camera');
    });
    return () => stop.abort();
  }, []);
  return (
    <BenchSheet title={t('command.camera')} onClose={onClose}>
      {fault ? (
        <p role="alert">{t('bench.camera.none')}</p>
      ) : (
        <>
          <p>{t('bench.camera.hold')}</p>
          <video ref={video} className="camera" playsInline muted />
        </>
      )}
    </BenchSheet>
  );
}

async function watch(
  video: HTMLVideoElement | null,
  signal: AbortSignal,
  onCode: (code: string) => void,
): Promise<void> {
  if (!video) return;
  const stream = await navigator.mediaDevices.getUserMedia({ video: { facingMode: 'environment' }, audio: false });
  const end = () => {
    for (const track of stream.getTracks()) track.stop();
  };
  if (signal.aborted) return end();
  signal.addEventListener('abort', end);
  video.srcObject = stream;
  await video.play();
  const read = await makeReader();
  while (!signal.aborted) {
    const code = await read(video);
    if (code !== null && !signal.aborted) return onCode(code);
    await new Promise((resolve) => setTimeout(resolve, LOOK_EVERY_MS));
  }
}

type Reader = (video: HTMLVideoElement) => Promise<string | null>;

interface NativeReader {
  detect(source: HTMLVideoElement): Promise<readonly { readonly rawValue: string }[]>;
}

async function makeReader(): Promise<Reader> {
  const Native = (globalThis as { BarcodeDetector?: new (options: { formats: string[] }) => NativeReader })
    .BarcodeDetector;
  if (Native) {
    const detector = new Native({ formats: ['qr_code'] });
    return async (video) => (await detector.detect(video))[0]?.rawValue ?? null;
  }
  const { default: jsQR } = await import('jsqr');
  const canvas = document.createElement('canvas');
  return async (video) => {
    canvas.width = video.videoWidth;
    canvas.height = video.videoHeight;
    const context = canvas.getContext('2d', { willReadFrequently: true });
    if (!context || canvas.width === 0) return null;
    context.drawImage(video, 0, 0);
    const image = context.getImageData(0, 0, canvas.width, canvas.height);
    return jsQR(image.data, image.width, image.height)?.data ?? null;
  };
}
