using CaliperStation.Storage;

namespace CaliperStation.Tests.Storage;

/// <summary>A disk in memory: what was written, what was flushed, and a fault at any operation.</summary>
/// <remarks>A power cut keeps of each file what its last flush made durable, and no name that the folder's flush did not.</remarks>
internal sealed class FaultyFolder : IJournalFolder
{
    private readonly Dictionary<string, Content> _files = [];

    public string Path => "/faulty";

    /// <summary>Called before each operation that changes the disk; may throw.</summary>
    public Action<string> Before { get; set; } = _ => { };

    /// <summary>How many bytes of a write that fails still arrive.</summary>
    public int HalfWritten { get; set; }

    public IReadOnlyList<string> Names() => [.. _files.Keys];

    public IJournalFile Open(string name, bool forWriting) =>
        new MemoryFile(this, _files.TryGetValue(name, out Content? content) ? content : throw new FileNotFoundException("no such file"));

    public IJournalFile Create(string name)
    {
        Before("create");
        return _files.TryAdd(name, new Content()) ? new MemoryFile(this, _files[name]) : throw new IOException("the file is there");
    }

    public void FlushNames()
    {
        Before("flush names");
        foreach (Content content in _files.Values)
        {
            content.NameDurable = true;
        }
    }

    public IDisposable? Hold() => null;

    public byte[] Bytes(string name) => [.. _files[name].Now];

    public void Set(string name, byte[] bytes) => _files[name] = new Content { Now = [.. bytes], Durable = [.. bytes], NameDurable = true };

    public void Remove(string name) => _files.Remove(name);

    /// <summary>What is left after the plug was pulled; the bytes behind the last flush as said.</summary>
    public FaultyFolder AfterPowerCut(Func<byte[], byte[], byte[]>? tail = null)
    {
        FaultyFolder left = new();
        foreach ((string name, Content content) in _files)
        {
            if (content.NameDurable)
            {
                left.Set(name, tail is null ? [.. content.Durable] : tail([.. content.Durable], [.. content.Now]));
            }
        }

        return left;
    }

    /// <summary>The same bytes on a sound disk: what a killed process leaves.</summary>
    public FaultyFolder AfterKill()
    {
        FaultyFolder left = new();
        foreach ((string name, Content content) in _files)
        {
            left.Set(name, [.. content.Now]);
        }

        return left;
    }

    private sealed class Content
    {
        public List<byte> Now { get; set; } = [];

        public List<byte> Durable { get; set; } = [];

        public bool NameDurable { get; set; }
    }

    private sealed class MemoryFile(FaultyFolder folder, Content content) : IJournalFile
    {
        public long Length => content.Now.Count;

        public int Read(Span<byte> buffer, long position)
        {
            int count = (int)Math.Max(0, Math.Min(buffer.Length, content.Now.Count - position));
            content.Now.GetRange((int)position, count).ToArray().CopyTo(buffer);
            return count;
        }

        public void Write(ReadOnlySpan<byte> bytes, long position)
        {
            try
            {
                folder.Before("write");
            }
            catch (IOException)
            {
                Put(bytes[..Math.Min(folder.HalfWritten, bytes.Length)], position);
                throw;
            }

            Put(bytes, position);
        }

        public void Cut(long length)
        {
            folder.Before("cut");
            if (length < content.Now.Count)
            {
                content.Now.RemoveRange((int)length, content.Now.Count - (int)length);
            }
        }

        public void Flush()
        {
            folder.Before("flush");
            content.Durable = [.. content.Now];
        }

        public void Dispose()
        {
        }

        private void Put(ReadOnlySpan<byte> bytes, long position)
        {
            while (content.Now.Count < position + bytes.Length)
            {
                content.Now.Add(0);
            }

            for (int index = 0; index < bytes.Length; index++)
            {
                content.Now[(int)position + index] = bytes[index];
            }
        }
    }
}
