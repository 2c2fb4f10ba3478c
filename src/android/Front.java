package joistlight.phone;

import android.app.Activity;
import android.app.AlertDialog;
import android.app.NativeActivity;
import android.content.ActivityNotFoundException;
import android.content.ClipData;
import android.content.ComponentName;
import android.content.Intent;
import android.content.pm.PackageManager;
import android.content.res.Configuration;
import android.database.Cursor;
import android.net.Uri;
import android.os.Bundle;
import android.provider.DocumentsContract;
import android.provider.MediaStore;
import android.provider.OpenableColumns;
import android.view.WindowManager;
import java.io.File;
import java.io.FileInputStream;
import java.io.FileOutputStream;
import java.io.IOException;
import java.io.InputStream;
import java.io.OutputStream;
import java.util.Locale;
import java.util.UUID;

/**
 * The activity: what the program asks of the system, and what the system brings.
 *
 * All answers are files in the tray (see src/app/tray.rs), since the system may end the program while the camera or
 * a list of files is in front; then it makes this activity anew to hand the answer over. Rust calls the public
 * methods from its own thread; nothing here calls Rust, and nothing waits for it.
 *
 * What is told to the user is one of SENTENCES in src/app/device.rs, which has them in the other languages too.
 */
public final class Front extends NativeActivity {
    static final String NO_PROGRAM = "There is no program on this phone that does that.";
    static final String NO_PICTURE = "The camera handed over no picture. Take it once more.";
    static final String NOT_READ = "The file could not be read where it lies.";
    static final String NOT_WRITTEN = "The copy could not be written there; nothing is left of it.";
    static final String NOT_WHOLE = "The copy could not be written there; what lies there now is not whole. Choose another place.";
    static final String COPIED = "The copy is where you chose.";
    static final String FULL = "This device is almost full, so that the file was not taken in. Make room and open it again.";

    private static final int NEW_PICTURE = 0;
    private static final int PICTURE = 1;
    private static final int FILE = 2;
    private static final int COPY = 3;

    /** What is left free when something is copied here: the surveys need room to be written. */
    private static final long ROOM = 32L << 20;

    /**
     * What will answer, by the number under which it was asked: the tray's token, or the path of the file that goes
     * out. A number is one of the above, and four times how often anything was asked.
     */
    private Bundle asked;
    private static final String ASKED = "joistlight.asked";
    private static final String COUNT = "count";

    @Override
    protected void onCreate(Bundle saved) {
        asked = saved == null ? null : saved.getBundle(ASKED);
        if (asked == null) asked = new Bundle();
        super.onCreate(saved);
        // An activity that is made anew has taken its intent in before, and one out of the list of recent
        // programs brings nothing new.
        boolean again = (getIntent().getFlags() & Intent.FLAG_ACTIVITY_LAUNCHED_FROM_HISTORY) != 0;
        if (saved == null && !again) takeGiven(getIntent());
    }

    @Override
    protected void onNewIntent(Intent intent) {
        super.onNewIntent(intent);
        takeGiven(intent);
    }

    @Override
    protected void onSaveInstanceState(Bundle out) {
        super.onSaveInstanceState(out);
        out.putBundle(ASKED, asked);
    }

    // What Rust asks for.

    /** Begins to fetch something: see Fetch in src/app/device.rs. */
    public void fetch(final int what, final String token) {
        runOnUiThread(() -> {
            Intent intent;
            if (what == NEW_PICTURE) {
                Uri to = Shelf.uri(tray(token, "part"), getFilesDir());
                intent = new Intent(MediaStore.ACTION_IMAGE_CAPTURE).putExtra(MediaStore.EXTRA_OUTPUT, to);
                // Cameras that do not look at the extra's grants see this one.
                intent.setClipData(ClipData.newRawUri(null, to));
                intent.addFlags(Intent.FLAG_GRANT_WRITE_URI_PERMISSION | Intent.FLAG_GRANT_READ_URI_PERMISSION);
            } else {
                intent = new Intent(Intent.ACTION_OPEN_DOCUMENT).addCategory(Intent.CATEGORY_OPENABLE)
                        .setType(what == PICTURE ? "image/*" : "*/*");
                // The kinds of picture that photo::take_in reads; others are not offered.
                if (what == PICTURE) {
                    intent.putExtra(Intent.EXTRA_MIME_TYPES, new String[] {"image/jpeg", "image/png"});
                }
            }
            ask(intent, what, token, token);
        });
    }

    /** Hands a finished file to another program, read-only. */
    public void share(final String path) {
        runOnUiThread(() -> {
            Uri uri = Shelf.uri(new File(path), getFilesDir());
            Intent send = new Intent(Intent.ACTION_SEND).setType("application/zip").putExtra(Intent.EXTRA_STREAM, uri);
            send.setClipData(ClipData.newRawUri(null, uri));
            send.addFlags(Intent.FLAG_GRANT_READ_URI_PERMISSION);
            // Not to ourselves, who take bundles in as well. (The name of this extra is newer than the API that
            // this is compiled against.)
            Intent choose = Intent.createChooser(send, null).putExtra("android.intent.extra.EXCLUDE_COMPONENTS",
                    new ComponentName[] {getComponentName()});
            try {
                startActivity(choose);
            } catch (ActivityNotFoundException | SecurityException e) {
                nothing(fresh(), NO_PROGRAM);
            }
        });
    }

    /** Has the user choose where a copy of a finished file goes. */
    public void copy(final String path) {
        runOnUiThread(() -> {
            Intent intent = new Intent(Intent.ACTION_CREATE_DOCUMENT).addCategory(Intent.CATEGORY_OPENABLE)
                    .setType("application/zip").putExtra(Intent.EXTRA_TITLE, new File(path).getName());
            ask(intent, COPY, path, fresh());
        });
    }

    /** Whether the screen stays on while this is in front. */
    public void keepAwake(final boolean awake) {
        runOnUiThread(() -> {
            if (awake) getWindow().addFlags(WindowManager.LayoutParams.FLAG_KEEP_SCREEN_ON);
            else getWindow().clearFlags(WindowManager.LayoutParams.FLAG_KEEP_SCREEN_ON);
        });
    }

    /** Says why the program cannot go on, and ends it once that was read. */
    public void end(final String why) {
        runOnUiThread(() -> {
            if (isFinishing()) return;
            new AlertDialog.Builder(this).setMessage(why).setCancelable(false)
                    .setPositiveButton(android.R.string.ok, (dialog, button) -> finish()).show();
        });
    }

    public boolean hasCamera() {
        return getPackageManager().hasSystemFeature(PackageManager.FEATURE_CAMERA_ANY);
    }

    /** Such as es_MX. */
    public String locale() {
        return Locale.getDefault().toString();
    }

    /** One by night, nought by day, less where the system does not say. */
    public int night() {
        switch (getResources().getConfiguration().uiMode & Configuration.UI_MODE_NIGHT_MASK) {
            case Configuration.UI_MODE_NIGHT_YES: return 1;
            case Configuration.UI_MODE_NIGHT_NO: return 0;
            default: return -1;
        }
    }

    public int textPercent() {
        return Math.round(getResources().getConfiguration().fontScale * 100);
    }

    // What comes back.

    private void ask(Intent intent, int what, String about, String token) {
        int count = asked.getInt(COUNT);
        int number = count * 4 + what;
        asked.putInt(COUNT, (count + 1) % 1000);
        asked.putString(String.valueOf(number), about);
        try {
            startActivityForResult(intent, number);
        } catch (ActivityNotFoundException | SecurityException e) {
            asked.remove(String.valueOf(number));
            nothing(token, NO_PROGRAM);
        }
    }

    @Override
    protected void onActivityResult(int number, int result, Intent data) {
        super.onActivityResult(number, result, data);
        String about = asked.getString(String.valueOf(number));
        asked.remove(String.valueOf(number));
        if (about == null) return;
        int what = number % 4;
        boolean yes = result == Activity.RESULT_OK;
        Uri uri = data == null ? null : data.getData();
        if (what == NEW_PICTURE) {
            File part = tray(about, "part");
            if (yes && part.length() > 0) {
                // The camera's file may still be in the system's buffers: a flat battery would empty it.
                sync(part);
                part.renameTo(tray(about, "file"));
            } else if (tray(about, "file").exists() || !tray(about, "errand.json").exists()) {
                // The program was ended meanwhile, and has found the picture by itself: see Tray::tidy.
                return;
            } else if (!yes) {
                part.delete();
                nothing(about, "");
            } else if (foreign(uri)) {
                part.delete();
                bring(uri, about);
            } else {
                part.delete();
                nothing(about, NO_PICTURE);
            }
        } else if (what == COPY) {
            if (yes && uri != null) copyOut(new File(about), uri);
        } else if (yes && foreign(uri)) {
            bring(uri, about);
        } else {
            nothing(about, "");
        }
    }

    /** Another program gives a file. */
    private void takeGiven(Intent intent) {
        if (intent == null) return;
        Uri uri = null;
        if (Intent.ACTION_VIEW.equals(intent.getAction())) uri = intent.getData();
        if (Intent.ACTION_SEND.equals(intent.getAction())) uri = intent.getParcelableExtra(Intent.EXTRA_STREAM);
        if (foreign(uri)) bring(uri, fresh());
    }

    /** Only what another program opens for us: no path, behind which our own files could lie, and not our shelf. */
    private static boolean foreign(Uri uri) {
        return uri != null && "content".equals(uri.getScheme()) && !Shelf.AUTHORITY.equals(uri.getAuthority());
    }

    /** Copies a file into the tray, beside the window. */
    private void bring(final Uri uri, final String token) {
        final File copy = tray(token, "copy");
        // Something is on its way: see Tray::waits.
        mark(copy, "");
        new Thread(() -> {
            String trouble = NOT_READ;
            try (InputStream in = getContentResolver().openInputStream(uri);
                    FileOutputStream out = new FileOutputStream(copy)) {
                if (in == null) throw new IOException();
                String name = nameOf(uri);
                if (name != null) mark(tray(token, "name"), name);
                trouble = pour(in, out, copy) ? null : FULL;
                out.getFD().sync();
            } catch (IOException | RuntimeException e) {
                // Told below: the other program took its file back, or the disk is full.
                if (copy.getUsableSpace() < ROOM) trouble = FULL;
            }
            if (trouble == null && copy.renameTo(tray(token, "file"))) return;
            tray(token, "name").delete();
            nothing(token, trouble == null ? NOT_READ : trouble);
            copy.delete();
        }).start();
    }

    /** Copies a finished file to where the user wants it, beside the window. */
    private void copyOut(final File file, final Uri to) {
        final String token = fresh();
        final File copy = tray(token, "copy");
        mark(copy, "");
        new Thread(() -> {
            // A new file is made empty. What had something in it was there before, and is not ours to delete.
            long before = sizeOf(to);
            String say = COPIED;
            try (InputStream in = new FileInputStream(file); OutputStream out = openAnew(to)) {
                if (out == null) throw new IOException();
                pour(in, out, null);
                out.flush();
            } catch (IOException | RuntimeException e) {
                say = NOT_WHOLE;
            }
            // Not every keeper begins anew where it is asked to; the end of a longer file would stay behind ours.
            if (before > file.length() && sizeOf(to) > file.length()) say = NOT_WHOLE;
            if (say.equals(NOT_WHOLE) && before == 0) {
                try {
                    if (DocumentsContract.deleteDocument(getContentResolver(), to)) say = NOT_WRITTEN;
                } catch (Exception e) {
                    // Whoever keeps it there does not let us.
                }
            }
            nothing(token, say);
            copy.delete();
        }).start();
    }

    /** From Android 10 on only "wt" begins a file anew; some keepers of files know only "w". */
    private OutputStream openAnew(Uri to) throws IOException {
        try {
            OutputStream out = getContentResolver().openOutputStream(to, "wt");
            if (out != null) return out;
        } catch (IOException | RuntimeException e) {
            // The other way, then; where that does not work either, it says so.
        }
        return getContentResolver().openOutputStream(to, "w");
    }

    /** How many bytes a file of another program has; less than none where that is not told. */
    private long sizeOf(Uri uri) {
        String[] names = {OpenableColumns.SIZE};
        try (Cursor found = getContentResolver().query(uri, names, null, null, null)) {
            if (found != null && found.moveToFirst() && !found.isNull(0)) return found.getLong(0);
        } catch (RuntimeException e) {
            // Not told, then.
        }
        return -1;
    }

    /** False where the room is needed for the surveys. */
    private static boolean pour(InputStream in, OutputStream out, File here) throws IOException {
        byte[] some = new byte[1 << 16];
        for (int n, at = 0; (n = in.read(some)) >= 0; at++) {
            if (here != null && at % 16 == 0 && here.getUsableSpace() < ROOM) return false;
            out.write(some, 0, n);
        }
        return true;
    }

    private String nameOf(Uri uri) {
        String[] names = {OpenableColumns.DISPLAY_NAME};
        try (Cursor found = getContentResolver().query(uri, names, null, null, null)) {
            if (found != null && found.moveToFirst()) return found.getString(0);
        } catch (RuntimeException e) {
            // Not told, then.
        }
        return uri.getLastPathSegment();
    }

    // The tray.

    private File tray(String token, String part) {
        File folder = new File(getFilesDir(), Shelf.TRAY);
        folder.mkdirs();
        return new File(folder, token + "." + part);
    }

    private static String fresh() {
        return "given-" + UUID.randomUUID();
    }

    /** Nothing comes; why not, or nothing where the user thought better of it. */
    private void nothing(String token, String why) {
        // Whole or not there: the other side reads it as soon as it has its name.
        File half = tray(token, "half");
        mark(half, why);
        half.renameTo(tray(token, "none"));
    }

    private static void mark(File file, String text) {
        try (FileOutputStream out = new FileOutputStream(file)) {
            out.write(text.getBytes("UTF-8"));
            out.getFD().sync();
        } catch (IOException e) {
            // A full disk; the program says so itself before it asks for anything.
        }
    }

    private static void sync(File file) {
        try (FileOutputStream open = new FileOutputStream(file, true)) {
            open.getFD().sync();
        } catch (IOException e) {
            // It is as whole as it was.
        }
    }
}
