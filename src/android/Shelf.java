package joistlight.phone;

import android.content.ContentProvider;
import android.content.ContentValues;
import android.database.Cursor;
import android.database.MatrixCursor;
import android.net.Uri;
import android.os.ParcelFileDescriptor;
import android.provider.OpenableColumns;
import java.io.File;
import java.io.FileNotFoundException;
import java.io.IOException;

/**
 * What another program may reach of ours: the one file that it was handed, and nothing else.
 *
 * It is not exported: the system lets in only whom Front granted this very address, for as long as that lasts. A
 * finished bundle can be read; the file that a camera was asked to fill can be written.
 */
public final class Shelf extends ContentProvider {
    static final String AUTHORITY = "joistlight.phone.shelf";
    /** As in src/app/tray.rs. */
    static final String TRAY = "arrivals";
    /** As in src/store. */
    static final String BUNDLES = "bundles";

    /** The address of one of our files. */
    static Uri uri(File file, File home) {
        String below = file.getPath().substring(home.getPath().length() + 1);
        return new Uri.Builder().scheme("content").authority(AUTHORITY).path(below).build();
    }

    private File file(Uri uri) throws FileNotFoundException {
        try {
            File home = getContext().getFilesDir().getCanonicalFile();
            File file = new File(home, uri.getPath()).getCanonicalFile();
            File folder = file.getParentFile();
            boolean bundle = folder.equals(new File(home, BUNDLES)) && file.getName().endsWith(".zip");
            boolean part = folder.equals(new File(home, TRAY)) && file.getName().endsWith(".part");
            if (bundle || part) return file;
        } catch (IOException e) {
            // No file of ours, then.
        }
        throw new FileNotFoundException(uri.toString());
    }

    @Override
    public ParcelFileDescriptor openFile(Uri uri, String mode) throws FileNotFoundException {
        File file = file(uri);
        boolean part = file.getParentFile().getName().equals(TRAY);
        if (!part && !mode.equals("r")) throw new FileNotFoundException(uri.toString());
        int how = ParcelFileDescriptor.MODE_READ_ONLY;
        if (part && !mode.equals("r")) {
            how = ParcelFileDescriptor.MODE_READ_WRITE | ParcelFileDescriptor.MODE_CREATE;
            // As the modes of openFile have it: "w" and "wt" begin anew, "rw" writes into what is there.
            if (!mode.equals("rw") && !mode.equals("wa")) how |= ParcelFileDescriptor.MODE_TRUNCATE;
            if (mode.equals("wa")) how |= ParcelFileDescriptor.MODE_APPEND;
        }
        return ParcelFileDescriptor.open(file, how);
    }

    @Override
    public Cursor query(Uri uri, String[] wanted, String where, String[] with, String order) {
        String[] names = wanted == null ? new String[] {OpenableColumns.DISPLAY_NAME, OpenableColumns.SIZE} : wanted;
        MatrixCursor out = new MatrixCursor(names, 1);
        try {
            File file = file(uri);
            MatrixCursor.RowBuilder row = out.newRow();
            for (String name : names) {
                if (name.equals(OpenableColumns.DISPLAY_NAME)) row.add(file.getName());
                else if (name.equals(OpenableColumns.SIZE)) row.add(file.length());
                else row.add(null);
            }
        } catch (FileNotFoundException e) {
            // No row.
        }
        return out;
    }

    @Override
    public String getType(Uri uri) {
        return uri.getPath().endsWith(".zip") ? "application/zip" : "image/jpeg";
    }

    @Override
    public boolean onCreate() {
        return true;
    }

    @Override
    public Uri insert(Uri uri, ContentValues values) {
        throw new UnsupportedOperationException();
    }

    @Override
    public int delete(Uri uri, String where, String[] with) {
        throw new UnsupportedOperationException();
    }

    @Override
    public int update(Uri uri, ContentValues values, String where, String[] with) {
        throw new UnsupportedOperationException();
    }
}
