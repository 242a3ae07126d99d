using CaliperStation.Files;
using Microsoft.Win32.SafeHandles;

namespace CaliperStation.Storage;

/// <summary>The journal's folder on a real disk.</summary>
internal sealed class DiskJournalFolder(string path) : IJournalFolder
{
    /// <inheritdoc />
    public string Path => path;

    /// <inheritdoc />
    public IReadOnlyList<string> Names() => Directory.Exists(path)
        ? [.. Directory.EnumerateFileSystemEntries(path).Select(file => !OwnFile.IsNoFile(file)
            ? System.IO.Path.GetFileName(file)
            : throw new IOException($"{System.IO.Path.GetFileName(file)} in it is a link, a pipe, a device or a folder, no file that a bench made"))]
        : File.Exists(path) ? throw new IOException("it is no folder") : [];

    /// <inheritdoc />
    public IJournalFile Open(string name, bool forWriting) => Open(name, FileMode.Open, forWriting ? FileAccess.ReadWrite : FileAccess.Read);

    /// <inheritdoc />
    public IJournalFile Create(string name) => Open(name, FileMode.CreateNew, FileAccess.ReadWrite);

    /// <inheritdoc />
    public void FlushNames() => OwnFile.FlushFolder(path);

    /// <inheritdoc />
    public IDisposable? Hold()
    {
        IDisposable? hold = OwnFile.HoldFolder(path, out bool others);
        return others
            ? throw new StoreException($"The journal in {path} is in use: another bench is writing it, though its lock file is gone. Close that bench first, or choose another folder with --store.") { IsInUse = true }
            : hold;
    }

    private DiskFile Open(string name, FileMode mode, FileAccess access) => new(OwnFile.Open(
        System.IO.Path.Combine(path, name),
        mode,
        access,
        FileShare.ReadWrite | FileShare.Delete,   // one writer is the hold's promise; looking commands read beside it
        buffer: 0));

    private sealed class DiskFile(FileStream stream) : IJournalFile
    {
        private readonly SafeFileHandle _handle = stream.SafeFileHandle;

        public long Length => RandomAccess.GetLength(_handle);

        public int Read(Span<byte> buffer, long position) => RandomAccess.Read(_handle, buffer, position);

        public void Write(ReadOnlySpan<byte> bytes, long position) => RandomAccess.Write(_handle, bytes, position);

        public void Cut(long length) => RandomAccess.SetLength(_handle, length);

        public void Flush() => RandomAccess.FlushToDisk(_handle);

        public void Dispose() => stream.Dispose();
    }
}
