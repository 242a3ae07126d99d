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
        ? [.. Directory.EnumerateFiles(path).Select(file => System.IO.Path.GetFileName(file))]
        : [];

    /// <inheritdoc />
    public IJournalFile Open(string name, bool forWriting) => new DiskFile(OwnFile.Open(
        System.IO.Path.Combine(path, name),
        forWriting ? FileMode.OpenOrCreate : FileMode.Open,
        forWriting ? FileAccess.ReadWrite : FileAccess.Read,
        FileShare.ReadWrite | FileShare.Delete,   // one writer is the store lock's promise; looking commands read beside it
        buffer: 0));

    /// <inheritdoc />
    public void FlushNames() => OwnFile.FlushFolder(path);

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
