using CaliperStation.Files;
using Microsoft.Win32.SafeHandles;

namespace CaliperStation.Storage;

/// <summary>The journal's folder as the journal sees it; the tests put a faulty disk behind it.</summary>
/// <remarks>Every member may throw <see cref="IOException"/> or <see cref="UnauthorizedAccessException"/>; the journal turns them into words.</remarks>
internal interface IJournalFolder
{
    /// <summary>Where it is, for messages.</summary>
    string Path { get; }

    /// <summary>The names of all files in it, in no order; none when the folder does not exist.</summary>
    IReadOnlyList<string> Names();

    /// <summary>Opens a file that is there.</summary>
    IJournalFile Open(string name, bool forWriting);

    /// <summary>Makes a file that is not there yet, for its owner only, and opens it for writing.</summary>
    IJournalFile Create(string name);

    /// <summary>Makes the names in the folder durable, after a file was created.</summary>
    void FlushNames();

    /// <summary>Keeps other writers out until what it gives is disposed or this process ends; null where the system has no such hold.</summary>
    /// <exception cref="StoreException">Another process has it.</exception>
    IDisposable? Hold();
}

/// <summary>One file of the journal. Positions are bytes from the start.</summary>
internal interface IJournalFile : IDisposable
{
    /// <summary>Its length now, in bytes.</summary>
    long Length { get; }

    /// <summary>Reads up to the buffer's length; 0 at the end.</summary>
    int Read(Span<byte> buffer, long position);

    /// <summary>Writes all bytes, or throws; part of them may then be in the file.</summary>
    void Write(ReadOnlySpan<byte> bytes, long position);

    /// <summary>Cuts the file to that length.</summary>
    void Cut(long length);

    /// <summary>Returns only when everything written is on the disk.</summary>
    void Flush();
}

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
            ? throw new StoreException(StoreFault.InUse, $"The journal in {path} is in use: another bench is writing it, though its lock file is gone. Close that bench first, or choose another folder with --store.")
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
