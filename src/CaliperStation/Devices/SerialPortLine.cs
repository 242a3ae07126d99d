using System.IO.Ports;

namespace CaliperStation.Devices;

/// <summary>A serial line of the machine.</summary>
internal sealed class SerialPortLine(SerialSettings settings) : ISerialLine, IModemLines
{
    // A request is a few bytes; a healthy line takes them at once (1200 baud: 8 ms a byte).
    private const int WriteLimitMilliseconds = 500;

    private SerialPort? _port;

    public int BytesToRead => Port.BytesToRead;

    private SerialPort Port => _port ?? throw new InvalidOperationException("The line is not open.");

    public void Open()
    {
        try
        {
            _port = OpenWith(settings);
        }
        catch (ArgumentException) when (settings.DataBits != 8 || settings.Parity != Parity.None)
        {
            // A pseudo-terminal keeps 8N1 whatever is asked of it, and the C library calls a request that changes nothing
            // at all an error (EINVAL). Changing the speed first makes the next request change something.
            using (SerialPort other = OpenWith(new SerialSettings(settings.Port, settings.Baud == 300 ? 600 : 300)))
            {
                other.BaseStream.Dispose();
            }

            _port = OpenWith(settings);
        }
    }

    public int Read(byte[] buffer, int count) => Port.Read(buffer, 0, count);

    public void Write(ReadOnlySpan<byte> bytes)
    {
        byte[] copy = bytes.ToArray();
        Port.Write(copy, 0, copy.Length);
    }

    public bool IsOn(ModemInput input) => input switch
    {
        ModemInput.Cts => Port.CtsHolding,
        ModemInput.Dsr => Port.DsrHolding,
        ModemInput.Dcd => Port.CDHolding,
    };

    public void Put(ModemOutput output, bool on)
    {
        switch (output)
        {
            case ModemOutput.Rts:
                Port.RtsEnable = on;
                break;
            case ModemOutput.Dtr:
                Port.DtrEnable = on;
                break;
        }
    }

    public void Dispose()
    {
        SerialPort? port = _port;
        _port = null;
        if (port is null)
        {
            return;
        }

        try
        {
            port.BaseStream.Dispose();   // before the port: closing a dead port first can wait for ever for its write queue
        }
        catch (Exception e) when (e is IOException or InvalidOperationException or UnauthorizedAccessException)
        {
            // The line is gone already; the port below still gives back what it holds.
        }

        port.Dispose();
    }

    private static SerialPort OpenWith(SerialSettings settings)
    {
        // DTR and RTS stay as they are: setting them makes opening fail where there are no modem lines. See FootSwitch.
        SerialPort port = new(settings.Port, settings.Baud, settings.Parity, settings.DataBits, settings.StopBits)
        {
            WriteTimeout = WriteLimitMilliseconds,
        };
        try
        {
            port.Open();
            return port;
        }
        catch
        {
            port.Dispose();
            throw;
        }
    }
}
